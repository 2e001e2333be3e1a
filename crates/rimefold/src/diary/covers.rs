//! Rows of covers put on, taken off, half-off, vented.

use rusqlite::{Connection, params};

use crate::diary::entry::{Act, What};
use crate::diary::trouble::Trouble;
use crate::diary::words::Worded as _;
use crate::exit::Failure;

/// Writes the particulars of entry `number`.
pub fn insert(
    db: &Connection,
    number: i64,
    act: Act,
    bed: &str,
    sheet: Option<&str>,
) -> Result<(), Trouble> {
    db.prepare_cached("INSERT INTO cover (entry, act, bed, sheet) VALUES (?, ?, ?, ?)")?
        .execute(params![number, act.word(), bed, sheet])?;
    Ok(())
}

/// Reads them.
pub fn load(db: &Connection, number: i64) -> Result<What, Trouble> {
    let mut query = db.prepare_cached("SELECT act, bed, sheet FROM cover WHERE entry = ?")?;
    let (act, bed, sheet): (String, _, _) =
        query.query_row([number], |r| Ok((r.get(0)?, r.get(1)?, r.get(2)?)))?;
    let act = Act::of(&act).ok_or_else(|| Failure::bug(&act))?;
    Ok(What::Cover { act, bed, sheet })
}
