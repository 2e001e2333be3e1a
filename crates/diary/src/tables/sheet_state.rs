//! Rows of sheets damaged or out of use.

use rusqlite::{Connection, params};

use crate::entry::{SheetState, What};
use crate::error::DatabaseError;
use crate::keyword::{Keyword as _, stored};

/// Writes the particulars of entry `number`.
pub(crate) fn insert(
    db: &Connection,
    number: i64,
    state: SheetState,
    sheet: &str,
) -> Result<(), DatabaseError> {
    db.prepare_cached("INSERT INTO sheet_state (entry, state, sheet) VALUES (?, ?, ?)")?
        .execute(params![number, state.keyword(), sheet])?;
    Ok(())
}

/// Reads them.
pub(crate) fn load(db: &Connection, number: i64) -> Result<What, DatabaseError> {
    let mut query = db.prepare_cached("SELECT state, sheet FROM sheet_state WHERE entry = ?")?;
    let (state, sheet): (String, _) = query.query_row([number], |r| Ok((r.get(0)?, r.get(1)?)))?;
    let state = stored::<SheetState>(&state)?;
    Ok(What::Sheet { state, sheet })
}
