//! Rows of thermometer readings.

use rusqlite::{Connection, params};

use crate::diary::entry::{Extreme, Place, What};
use crate::diary::trouble::Trouble;
use crate::diary::words::Worded as _;
use crate::exit::Failure;

/// Writes the particulars of entry `number`.
pub fn insert(
    db: &Connection,
    number: i64,
    extreme: Extreme,
    celsius: f64,
    place: &Place,
) -> Result<(), Trouble> {
    let (place, bed, sheet) = match place {
        Place::Open { bed } => ("open", bed.as_ref(), None),
        Place::Under { bed, sheet } => ("under", Some(bed), sheet.as_ref()),
    };
    db.prepare_cached(
        "INSERT INTO reading (entry, extreme, celsius, place, bed, sheet) VALUES (?, ?, ?, ?, ?, ?)",
    )?
    .execute(params![number, extreme.word(), celsius, place, bed, sheet])?;
    Ok(())
}

/// Reads them.
pub fn load(db: &Connection, number: i64) -> Result<What, Trouble> {
    let mut query = db.prepare_cached(
        "SELECT extreme, celsius, place, bed, sheet FROM reading WHERE entry = ?",
    )?;
    let row: (String, f64, String, Option<String>, Option<String>) = query
        .query_row([number], |r| Ok((r.get(0)?, r.get(1)?, r.get(2)?, r.get(3)?, r.get(4)?)))?;
    let (extreme, celsius, place, bed, sheet) = row;
    let extreme = Extreme::of(&extreme).ok_or_else(|| Failure::bug(&extreme))?;
    let place = match (place.as_str(), bed) {
        ("under", Some(bed)) => Place::Under { bed, sheet },
        (_, bed) => Place::Open { bed },
    };
    Ok(What::Reading { extreme, celsius, place })
}
