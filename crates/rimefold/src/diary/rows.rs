//! Entries in and out of the database, each kind by the file of its own table.

use quantities::Moment;
use rusqlite::{Connection, OptionalExtension as _, Row, params};

use crate::diary::entry::{Entry, What};
use crate::diary::id::Id;
use crate::diary::trouble::Trouble;
use crate::diary::{covers, readings, sheets, sightings, ticks, undo};
use crate::exit::{Exit, Failure};

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
pub fn insert(db: &Connection, entry: &Entry) -> Result<(), Trouble> {
    entry.check().map_err(|wrong| Failure::new(Exit::Usage, wrong.to_string()))?;
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
            readings::insert(db, number, *extreme, *celsius, place)
        }
        What::Cover { act, bed, sheet } => covers::insert(db, number, *act, bed, sheet.as_deref()),
        What::Seen { sight, bed } => sightings::insert(db, number, *sight, bed),
        What::Sheet { state, sheet } => sheets::insert(db, number, *state, sheet),
        What::Done { plan, task } => ticks::insert(db, number, plan, *task),
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

fn whole(db: &Connection, h: Head) -> Result<Entry, Trouble> {
    let what = match h.kind.as_str() {
        "reading" => readings::load(db, h.number)?,
        "cover" => covers::load(db, h.number)?,
        "sighting" => sightings::load(db, h.number)?,
        "sheet" => sheets::load(db, h.number)?,
        "done" => ticks::load(db, h.number)?,
        "undo" => undo::load(db, h.number)?,
        other => return Err(Failure::bug(format!("entry of kind {other}")).into()),
    };
    let id = Id::try_from(h.id).map_err(Failure::bug)?;
    Ok(Entry { id, at: Moment(h.at), written: Moment(h.written), what, note: h.note })
}

/// Every entry in the order written.
pub fn all(db: &Connection) -> Result<Vec<Entry>, Trouble> {
    let mut query = db.prepare_cached(&format!("{HEAD} ORDER BY number"))?;
    let heads: Vec<Head> = query.query_map([], head)?.collect::<Result<_, _>>()?;
    heads.into_iter().map(|h| whole(db, h)).collect()
}

/// The entry of that id.
pub fn one(db: &Connection, id: &Id) -> Result<Option<Entry>, Trouble> {
    let mut query = db.prepare_cached(&format!("{HEAD} WHERE id = ?"))?;
    query.query_row([id.as_str()], head).optional()?.map(|h| whole(db, h)).transpose()
}
