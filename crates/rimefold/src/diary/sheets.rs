//! Rows of sheets damaged or out of use.

use rusqlite::{Connection, params};

use crate::diary::entry::{State, What};
use crate::diary::trouble::Trouble;
use crate::diary::words::Worded as _;
use crate::exit::Failure;

/// Writes the particulars of entry `number`.
pub fn insert(db: &Connection, number: i64, state: State, sheet: &str) -> Result<(), Trouble> {
    db.prepare_cached("INSERT INTO sheet_state (entry, state, sheet) VALUES (?, ?, ?)")?
        .execute(params![number, state.word(), sheet])?;
    Ok(())
}

/// Reads them.
pub fn load(db: &Connection, number: i64) -> Result<What, Trouble> {
    let mut query = db.prepare_cached("SELECT state, sheet FROM sheet_state WHERE entry = ?")?;
    let (state, sheet): (String, _) = query.query_row([number], |r| Ok((r.get(0)?, r.get(1)?)))?;
    let state = State::of(&state).ok_or_else(|| Failure::bug(&state))?;
    Ok(What::Sheet { state, sheet })
}
