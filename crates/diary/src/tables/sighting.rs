//! Rows of losses, snow brushed off, voles.

use rusqlite::{Connection, params};

use crate::entry::{Sighting, What};
use crate::error::{DatabaseError, damaged};

/// Writes the particulars of entry `number`.
pub(crate) fn insert(
    db: &Connection,
    number: i64,
    sighting: Sighting,
    bed: &str,
) -> Result<(), DatabaseError> {
    let (saw, share) = sighting.parts();
    db.prepare_cached("INSERT INTO sighting (entry, saw, bed, share) VALUES (?, ?, ?, ?)")?
        .execute(params![number, saw, bed, share])?;
    Ok(())
}

/// Reads them.
pub(crate) fn load(db: &Connection, number: i64) -> Result<What, DatabaseError> {
    let mut query = db.prepare_cached("SELECT saw, bed, share FROM sighting WHERE entry = ?")?;
    let (saw, bed, share): (String, _, _) =
        query.query_row([number], |r| Ok((r.get(0)?, r.get(1)?, r.get(2)?)))?;
    let sighting = Sighting::from_parts(&saw, share).ok_or_else(|| damaged(&saw))?;
    Ok(What::Seen { sighting, bed })
}
