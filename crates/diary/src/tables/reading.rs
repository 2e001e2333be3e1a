//! Rows of thermometer readings.

use rusqlite::{Connection, params};

use crate::entry::{Extreme, Place, What};
use crate::error::DatabaseError;
use crate::keyword::{Keyword as _, stored};

/// Writes the particulars of entry `number`.
pub(crate) fn insert(
    db: &Connection,
    number: i64,
    extreme: Extreme,
    celsius: f64,
    place: &Place,
) -> Result<(), DatabaseError> {
    let (place, bed, sheet) = match place {
        Place::Open { bed } => ("open", bed.as_ref(), None),
        Place::Under { bed, sheet } => ("under", Some(bed), sheet.as_ref()),
    };
    db.prepare_cached(
        "INSERT INTO reading (entry, extreme, celsius, place, bed, sheet) VALUES (?, ?, ?, ?, ?, ?)",
    )?
    .execute(params![number, extreme.keyword(), celsius, place, bed, sheet])?;
    Ok(())
}

/// Reads them.
pub(crate) fn load(db: &Connection, number: i64) -> Result<What, DatabaseError> {
    let mut query = db.prepare_cached(
        "SELECT extreme, celsius, place, bed, sheet FROM reading WHERE entry = ?",
    )?;
    let row: (String, f64, String, Option<String>, Option<String>) = query
        .query_row([number], |r| Ok((r.get(0)?, r.get(1)?, r.get(2)?, r.get(3)?, r.get(4)?)))?;
    let (extreme, celsius, place, bed, sheet) = row;
    let extreme = stored::<Extreme>(&extreme)?;
    let place = match (place.as_str(), bed) {
        ("under", Some(bed)) => Place::Under { bed, sheet },
        (_, bed) => Place::Open { bed },
    };
    Ok(What::Reading { extreme, celsius, place })
}
