//! Taking back: an entry that strikes an earlier one. Nothing is ever deleted, and what strikes can be struck.

use std::collections::HashSet;

use quantities::Moment;
use rusqlite::{Connection, OptionalExtension as _, params};

use crate::diary::Diary;
use crate::diary::entry::{Entry, What};
use crate::diary::id::Id;
use crate::diary::trouble::Trouble;
use crate::exit::{Exit, Failure};

/// An entry and whether it holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// The entry.
    pub entry: Entry,
    /// Whether no standing undo strikes it.
    pub stands: bool,
}

/// Writes the particulars of entry `number`; what it strikes must be there.
pub fn insert(db: &Connection, number: i64, strikes: &Id) -> Result<(), Trouble> {
    let there: Option<i64> = db
        .prepare_cached("SELECT number FROM entry WHERE id = ? AND number < ?")?
        .query_row(params![strikes.as_str(), number], |r| r.get(0))
        .optional()?;
    if there.is_none() {
        let message = format!("the diary has no entry {strikes} before the one that takes it back");
        return Err(Failure::new(Exit::Usage, message).into());
    }
    db.prepare_cached("INSERT INTO undo (entry, strikes) VALUES (?, ?)")?
        .execute(params![number, strikes.as_str()])?;
    Ok(())
}

/// Reads them.
pub fn load(db: &Connection, number: i64) -> Result<What, Trouble> {
    let mut query = db.prepare_cached("SELECT strikes FROM undo WHERE entry = ?")?;
    let strikes: String = query.query_row([number], |r| r.get(0))?;
    Ok(What::Undo { strikes: Id::try_from(strikes).map_err(Failure::bug)? })
}

/// Which entries stand. An undo strikes only what was written before it, so the newest is judged first.
pub fn judge(entries: Vec<Entry>) -> Vec<Kept> {
    let mut struck: HashSet<Id> = HashSet::new();
    let mut kept: Vec<Kept> = entries
        .into_iter()
        .rev()
        .map(|entry| {
            let stands = !struck.contains(&entry.id);
            if let (true, What::Undo { strikes }) = (stands, &entry.what) {
                struck.insert(strikes.clone());
            }
            Kept { entry, stands }
        })
        .collect();
    kept.reverse();
    kept
}

impl Diary {
    /// Takes back the entry whose id begins with `which`, or the newest that stands and is no undo itself.
    ///
    /// Taking back an undo makes what it struck stand again. Returns the undo and what it strikes.
    ///
    /// # Errors
    /// No such entry, more than one, one that is taken back already, or the diary cannot be written.
    pub fn undo(
        &mut self,
        which: Option<&str>,
        written: Moment,
    ) -> Result<(Entry, Entry), Failure> {
        self.write(|db| {
            let kept = judge(super::rows::all(db)?);
            let struck = match which {
                Some(start) => named(&kept, start)?,
                None => newest(&kept)?,
            };
            let what = What::Undo { strikes: struck.id.clone() };
            let undo = Entry::new(written, written, what)?;
            super::rows::insert(db, &undo)?;
            Ok((undo, struck.clone()))
        })
    }
}

fn newest(kept: &[Kept]) -> Result<&Entry, Failure> {
    let last = kept.iter().rev().find(|k| k.stands && !matches!(k.entry.what, What::Undo { .. }));
    let none = || Failure::new(Exit::Usage, "there is nothing to take back");
    last.map(|k| &k.entry).ok_or_else(none)
}

fn named<'a>(kept: &'a [Kept], start: &str) -> Result<&'a Entry, Failure> {
    let wrong = |message: String| Failure::new(Exit::Usage, message);
    let wanted = start.trim().to_lowercase();
    let mut found =
        kept.iter().filter(|k| !wanted.is_empty() && k.entry.id.as_str().starts_with(&wanted));
    let Some(first) = found.next() else {
        return Err(wrong(format!(
            "no entry's id begins with `{start}`; `rimefold note list` shows them"
        )));
    };
    if let Some(second) = found.next() {
        return Err(wrong(format!(
            "more than one entry's id begins with `{start}`: {}, {}, …; give more digits",
            first.entry.id, second.entry.id
        )));
    }
    if !first.stands {
        return Err(wrong(format!("{} is taken back already", first.entry.id.short())));
    }
    Ok(&first.entry)
}
