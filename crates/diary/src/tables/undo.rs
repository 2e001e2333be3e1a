//! Rows of entries that strike others.

use std::collections::HashSet;

use rusqlite::{Connection, OptionalExtension as _, params};

use crate::entry::What;
use crate::error::{DatabaseError, Error, damaged};
use crate::id::Id;

/// Writes the particulars of entry `number`; what it strikes must be there.
pub(crate) fn insert(db: &Connection, number: i64, strikes: &Id) -> Result<(), DatabaseError> {
    let there: Option<i64> = db
        .prepare_cached("SELECT number FROM entry WHERE id = ? AND number < ?")?
        .query_row(params![strikes.as_str(), number], |r| r.get(0))
        .optional()?;
    if there.is_none() {
        let message = format!("the diary has no entry {strikes} before the one that takes it back");
        return Err(Error::Refused(message).into());
    }
    db.prepare_cached("INSERT INTO undo (entry, strikes) VALUES (?, ?)")?
        .execute(params![number, strikes.as_str()])?;
    Ok(())
}

/// Reads them.
pub(crate) fn load(db: &Connection, number: i64) -> Result<What, DatabaseError> {
    let mut query = db.prepare_cached("SELECT strikes FROM undo WHERE entry = ?")?;
    let strikes: String = query.query_row([number], |r| r.get(0))?;
    Ok(What::Undo { strikes: Id::try_from(strikes).map_err(damaged)? })
}

/// Ids of the entries that are taken back. An undo strikes only what was written before it, so the newest is judged
/// first.
pub(crate) fn struck(db: &Connection) -> Result<HashSet<String>, DatabaseError> {
    let mut query = db.prepare_cached(
        "SELECT entry.id, undo.strikes FROM undo JOIN entry ON entry.number = undo.entry \
         ORDER BY entry.number DESC",
    )?;
    let undos = query.query_map([], |r| Ok((r.get::<_, String>(0)?, r.get::<_, String>(1)?)))?;
    let mut struck = HashSet::new();
    for undo in undos {
        let (id, strikes) = undo?;
        if !struck.contains(&id) {
            struck.insert(strikes);
        }
    }
    Ok(struck)
}
