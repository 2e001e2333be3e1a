//! Entries in and out of the database, each kind by its own table.

use std::collections::HashSet;

use quantities::Moment;
use rusqlite::{Connection, OptionalExtension as _, Row, params};

use crate::database::Diary;
use crate::entry::{Entry, What};
use crate::error::{DatabaseError, Error, damaged};
use crate::id::Id;
use crate::tables::{cover, done, reading, sheet_state, sighting, undo};

/// An entry and whether it holds.
#[derive(Clone, Debug, PartialEq)]
pub struct JudgedEntry {
    /// The entry.
    pub entry: Entry,
    /// Whether no standing undo strikes it.
    pub stands: bool,
}

impl Diary {
    /// Adds entries, all or none.
    ///
    /// # Errors
    /// A value that a diary does not take, or it cannot be written.
    pub fn add(&mut self, entries: &[Entry]) -> Result<(), Error> {
        self.write(|db| entries.iter().try_for_each(|e| insert(db, e)))
    }

    /// Adds an entry unless one of that id is there, as when a browser that lost its line sends it twice.
    ///
    /// # Errors
    /// As [`Diary::add`].
    pub fn add_once(&mut self, entry: &Entry) -> Result<(), Error> {
        self.write(|db| if there(db, &entry.id)? { Ok(()) } else { insert(db, entry) })
    }

    /// Every entry in the order written, with whether it stands.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn entries(&self) -> Result<Vec<JudgedEntry>, Error> {
        self.read(judged)
    }

    /// Brings a list of every entry up to date by reading only what was written since; `last` is the number of the last
    /// entry in it, 0 of an empty one. Where the diary is another by now, all is read.
    ///
    /// # Errors
    /// The diary cannot be read; the list stays as it was.
    pub fn catch_up(&self, list: &mut Vec<JudgedEntry>, last: &mut i64) -> Result<(), Error> {
        let (known, same) = (*last, list.last().map(|k| k.entry.id.clone()));
        let (fresh, new) = self.read(|db| {
            let fresh = known == 0 || id_of(db, known)? != same;
            Ok((fresh, after(db, if fresh { 0 } else { known })?))
        })?;
        if fresh {
            (*list, *last) = (Vec::new(), 0);
        }
        let undone = new.iter().any(|(_, e)| matches!(e.what, What::Undo { .. }));
        *last = new.last().map_or(*last, |(number, _)| *number);
        list.extend(new.into_iter().map(|(_, entry)| JudgedEntry { entry, stands: true }));
        if undone {
            judge(list);
        }
        Ok(())
    }
}

fn kind(what: &What) -> &'static str {
    match what {
        What::Reading { .. } => "reading",
        What::Cover { .. } => "cover",
        What::Seen { .. } => "sighting",
        What::Sheet { .. } => "sheet",
        What::Done { .. } => "done",
        What::Undo { .. } => "undo",
    }
}

/// Adds an entry.
///
/// # Errors
/// A value that a diary does not take, something it refers to that is not there, or what SQLite says.
pub(crate) fn insert(db: &Connection, entry: &Entry) -> Result<(), DatabaseError> {
    entry.check().map_err(|wrong| Error::Refused(wrong.to_string()))?;
    db.prepare_cached("INSERT INTO entry (id, kind, at, written, note) VALUES (?, ?, ?, ?, ?)")?
        .execute(params![
            entry.id.as_str(),
            kind(&entry.what),
            entry.at.0,
            entry.written.0,
            entry.note
        ])?;
    let number = db.last_insert_rowid();
    match &entry.what {
        What::Reading { extreme, celsius, place } => {
            reading::insert(db, number, *extreme, *celsius, place)
        }
        What::Cover { act, cover } => cover::insert(db, number, *act, cover),
        What::Seen { sighting, bed } => sighting::insert(db, number, *sighting, bed),
        What::Sheet { state, sheet } => sheet_state::insert(db, number, *state, sheet),
        What::Done { plan, task, cover } => done::insert(db, number, plan, *task, cover.as_ref()),
        What::Undo { strikes } => undo::insert(db, number, strikes),
    }
}

/// What an entry's own row holds.
struct Head {
    number: i64,
    id: String,
    kind: String,
    at: i64,
    written: i64,
    note: Option<String>,
}

const HEAD: &str = "SELECT number, id, kind, at, written, note FROM entry";

fn head(row: &Row<'_>) -> rusqlite::Result<Head> {
    Ok(Head {
        number: row.get(0)?,
        id: row.get(1)?,
        kind: row.get(2)?,
        at: row.get(3)?,
        written: row.get(4)?,
        note: row.get(5)?,
    })
}

fn whole(db: &Connection, h: Head) -> Result<Entry, DatabaseError> {
    let what = match h.kind.as_str() {
        "reading" => reading::load(db, h.number)?,
        "cover" => cover::load(db, h.number)?,
        "sighting" => sighting::load(db, h.number)?,
        "sheet" => sheet_state::load(db, h.number)?,
        "done" => done::load(db, h.number)?,
        "undo" => undo::load(db, h.number)?,
        other => return Err(damaged(format!("an entry of kind {other}"))),
    };
    let id = Id::try_from(h.id).map_err(damaged)?;
    Ok(Entry { id, at: Moment(h.at), written: Moment(h.written), what, note: h.note })
}

/// Which of all entries stand. An undo strikes only what was written before it, so the newest is judged first.
fn judge(all: &mut [JudgedEntry]) {
    let mut struck: HashSet<Id> = HashSet::new();
    for kept in all.iter_mut().rev() {
        kept.stands = !struck.contains(&kept.entry.id);
        if let What::Undo { strikes } = &kept.entry.what
            && kept.stands
        {
            struck.insert(strikes.clone());
        }
    }
}

/// The id of the entry of that number.
fn id_of(db: &Connection, number: i64) -> Result<Option<Id>, DatabaseError> {
    let mut query = db.prepare_cached("SELECT id FROM entry WHERE number = ?")?;
    let id: Option<String> = query.query_row([number], |r| r.get(0)).optional()?;
    id.map(|id| Id::try_from(id).map_err(damaged)).transpose()
}

/// The entry of that number.
pub(crate) fn numbered(db: &Connection, number: i64) -> Result<Entry, DatabaseError> {
    let mut query = db.prepare_cached(&format!("{HEAD} WHERE number = ?"))?;
    let head = query.query_row([number], head)?;
    whole(db, head)
}

/// Every entry after that number, with its own.
fn after(db: &Connection, number: i64) -> Result<Vec<(i64, Entry)>, DatabaseError> {
    let mut query = db.prepare_cached(&format!("{HEAD} WHERE number > ? ORDER BY number"))?;
    let heads: Vec<Head> = query.query_map([number], head)?.collect::<Result<_, _>>()?;
    heads.into_iter().map(|h| Ok((h.number, whole(db, h)?))).collect()
}

/// Every entry in the order written.
pub(crate) fn all(db: &Connection) -> Result<Vec<Entry>, DatabaseError> {
    Ok(after(db, 0)?.into_iter().map(|(_, entry)| entry).collect())
}

/// Every entry in the order written, with whether it stands.
pub(crate) fn judged(db: &Connection) -> Result<Vec<JudgedEntry>, DatabaseError> {
    let all = all(db)?.into_iter().map(|entry| JudgedEntry { entry, stands: true });
    let mut all: Vec<JudgedEntry> = all.collect();
    judge(&mut all);
    Ok(all)
}

/// The entry of that id.
pub(crate) fn one(db: &Connection, id: &Id) -> Result<Option<Entry>, DatabaseError> {
    let mut query = db.prepare_cached(&format!("{HEAD} WHERE id = ?"))?;
    query.query_row([id.as_str()], head).optional()?.map(|h| whole(db, h)).transpose()
}

/// Whether there is an entry of that id.
fn there(db: &Connection, id: &Id) -> Result<bool, DatabaseError> {
    Ok(db.prepare_cached("SELECT 1 FROM entry WHERE id = ?")?.exists([id.as_str()])?)
}

/// The first two ids in order that begin with these digits.
pub(crate) fn beginning_with(db: &Connection, start: &str) -> Result<Vec<Id>, DatabaseError> {
    // Behind every id that begins so: digits are 0-9 and a-f.
    let behind = format!("{start}g");
    let mut query =
        db.prepare_cached("SELECT id FROM entry WHERE id >= ? AND id < ? ORDER BY id LIMIT 2")?;
    let ids = query.query_map([start, &behind], |r| r.get::<_, String>(0))?;
    ids.map(|id| Id::try_from(id?).map_err(damaged)).collect()
}

/// The id of the newest entry that is no undo and for which `which` holds.
pub(crate) fn newest(
    db: &Connection,
    which: impl Fn(&str) -> bool,
) -> Result<Option<Id>, DatabaseError> {
    let mut query =
        db.prepare_cached("SELECT id FROM entry WHERE kind <> 'undo' ORDER BY number DESC")?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let id: String = row.get(0)?;
        if which(&id) {
            return Ok(Some(Id::try_from(id).map_err(damaged)?));
        }
    }
    Ok(None)
}
