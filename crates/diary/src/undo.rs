//! Taking back: an entry that strikes an earlier one. Nothing is ever deleted, and what strikes can be struck.

use std::collections::HashSet;

use quantities::Moment;
use rusqlite::Connection;

use crate::database::Diary;
use crate::entries;
use crate::entry::{Entry, What};
use crate::error::{DatabaseError, Error, damaged};
use crate::id::Id;
use crate::tables::undo::struck;

impl Diary {
    /// Takes back the entry whose id begins with `which`, or the newest that stands and is no undo itself, by an entry
    /// of the name `id`.
    ///
    /// Taking back an undo makes what it struck stand again. Returns the undo and what it strikes.
    ///
    /// # Errors
    /// No such entry, more than one, one that is taken back already, or the diary cannot be written.
    pub fn undo(
        &mut self,
        which: Option<&str>,
        id: Id,
        written: Moment,
    ) -> Result<(Entry, Entry), Error> {
        self.write(|db| {
            let gone = struck(db)?;
            let strikes = match which {
                Some(start) => named(db, start, &gone)?,
                None => newest(db, &gone)?,
            };
            write(db, strikes, id, written)
        })
    }

    /// Takes back the entry of that id unless it is taken back already, as when a browser that lost its line sends it
    /// twice.
    ///
    /// # Errors
    /// As [`Diary::undo`].
    pub fn undo_once(&mut self, strikes: &Id, id: Id, written: Moment) -> Result<(), Error> {
        self.write(|db| {
            if !struck(db)?.contains(strikes.as_str()) {
                write(db, strikes.clone(), id, written)?;
            }
            Ok(())
        })
    }
}

fn write(
    db: &Connection,
    strikes: Id,
    id: Id,
    written: Moment,
) -> Result<(Entry, Entry), DatabaseError> {
    let undo = Entry::new(id, written, written, What::Undo { strikes: strikes.clone() });
    entries::insert(db, &undo)?;
    let struck = entries::one(db, &strikes)?.ok_or_else(|| damaged("a struck entry is gone"))?;
    Ok((undo, struck))
}

fn newest(db: &Connection, struck: &HashSet<String>) -> Result<Id, DatabaseError> {
    let last = entries::newest(db, |id| !struck.contains(id))?;
    Ok(last.ok_or_else(|| Error::Refused("there is nothing to take back".to_owned()))?)
}

fn named(db: &Connection, start: &str, struck: &HashSet<String>) -> Result<Id, DatabaseError> {
    let wanted = start.trim().to_lowercase();
    let found = if wanted.is_empty() { Vec::new() } else { entries::beginning_with(db, &wanted)? };
    let refused = |message: String| Err(Error::Refused(message).into());
    match found.as_slice() {
        [] => {
            refused(format!("no entry's id begins with `{start}`; `rimefold note list` shows them"))
        }
        [id] if struck.contains(id.as_str()) => {
            refused(format!("{} is taken back already", id.short()))
        }
        [id] => Ok(id.clone()),
        [first, second, ..] => refused(format!(
            "more than one entry's id begins with `{start}`: {first}, {second}, …; give more digits"
        )),
    }
}
