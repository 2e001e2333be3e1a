//! Readings of machines in a file of their own beside the diary, bounded in space: `readings.sqlite`.

mod compact;
mod take;

use std::path::{Path, PathBuf};

use quantities::Moment;
use rusqlite::{Connection, OptionalExtension as _, Row, params};
use sensors::Reading;
use sensors::guard::Guard;
use sensors::slot::Slot;

use crate::connection::{READ_ONLY, READ_WRITE, connect, in_one, one_file, write_ahead};
use crate::error::{DatabaseError, Error};

pub use take::Taken;

/// Name of the file beside `garden.toml`.
pub const NAME: &str = "readings.sqlite";
const TABLES: &str = include_str!("series.sql");
/// Marks the file: `RIMR` (SQLite's `application_id`).
const MARK: i64 = 0x5249_4d52;
const LAYOUT: i64 = 1;

/// The open file.
#[derive(Debug)]
pub struct Series {
    db: Connection,
    path: PathBuf,
    writes: bool,
}

/// What is known of a sensor that sent something.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    /// Its name.
    pub name: String,
    /// What to judge its next reading by.
    pub guard: Guard,
    /// The last reading that was not believed.
    pub refused: Option<Reading>,
    /// How many were not believed in all.
    pub refused_count: u32,
}

/// A file of a logger that was looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LookedAt {
    /// Its name.
    pub name: String,
    /// When.
    pub at: Moment,
    /// Why it could not be read; `None` where it was taken.
    pub fault: Option<String>,
}

/// Where the readings of a diary's garden are, or would be.
#[must_use]
pub fn beside(diary: &Path) -> PathBuf {
    diary.with_file_name(NAME)
}

impl Drop for Series {
    fn drop(&mut self) {
        if self.writes {
            let _ = one_file(&self.db);
        }
    }
}

impl Series {
    /// Opens the file at `path`, making a new one where there is none.
    ///
    /// # Errors
    /// It cannot be written, is of something else, or was written by a newer program.
    pub fn open(path: &Path) -> Result<Self, Error> {
        let opened = connect(path, READ_WRITE).and_then(|db| {
            require_own(&db)?;
            write_ahead(&db)?;
            make(&db)?;
            Ok(db)
        });
        let db = opened.map_err(|e| told(e, path))?;
        Ok(Self { db, path: path.to_owned(), writes: true })
    }

    /// Opens the file at `path` for reading; `None` where there is none.
    ///
    /// # Errors
    /// As [`Series::open`].
    pub fn open_read_only(path: &Path) -> Result<Option<Self>, Error> {
        if !path.is_file() {
            return Ok(None);
        }
        let opened = connect(path, READ_ONLY).and_then(|db| {
            require_own(&db)?;
            Ok(db)
        });
        let db = opened.map_err(|e| told(e, path))?;
        Ok(Some(Self { db, path: path.to_owned(), writes: false }))
    }

    /// Rows of a sensor that touch a stretch of time, in order.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn slots(&self, sensor: &str, from: Moment, to: Moment) -> Result<Vec<Slot>, Error> {
        self.read(|db| {
            let mut query = db.prepare_cached(&format!(
                "{SLOT} WHERE sensor = ? AND begins > ? AND begins < ? ORDER BY begins"
            ))?;
            let longest = sensors::constants::COARSE_S;
            let rows = query.query_map(params![sensor, from.0 - longest, to.0], slot)?;
            let slots: Vec<Slot> = rows.collect::<Result<_, _>>()?;
            Ok(slots.into_iter().filter(|s| s.end() > from).collect())
        })
    }

    /// Every sensor that sent something, by name.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn seen(&self) -> Result<Vec<Seen>, Error> {
        self.read(|db| {
            let mut query = db.prepare_cached(&format!("{SEEN} ORDER BY name"))?;
            let rows = query.query_map([], seen)?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }

    /// What is known of one sensor.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn seen_of(&self, sensor: &str) -> Result<Option<Seen>, Error> {
        self.read(|db| seen_of(db, sensor))
    }

    /// The file of those bytes, where it was looked at before.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn looked_at(&self, sha256: &str) -> Result<Option<LookedAt>, Error> {
        self.read(|db| {
            let mut query =
                db.prepare_cached("SELECT name, taken_at, fault FROM file WHERE sha256 = ?")?;
            Ok(query.query_row([sha256], looked_at).optional()?)
        })
    }

    /// The files that could not be read, newest first.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn faults(&self) -> Result<Vec<LookedAt>, Error> {
        self.read(|db| {
            let mut query = db.prepare_cached(
                "SELECT name, taken_at, fault FROM file WHERE fault IS NOT NULL ORDER BY taken_at DESC LIMIT 20",
            )?;
            let rows = query.query_map([], looked_at)?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }

    fn read<T>(
        &self,
        job: impl FnOnce(&Connection) -> Result<T, DatabaseError>,
    ) -> Result<T, Error> {
        job(&self.db).map_err(|e| told(e, &self.path))
    }

    fn write<T>(
        &mut self,
        job: impl FnOnce(&Connection) -> Result<T, DatabaseError>,
    ) -> Result<T, Error> {
        in_one(&self.db, job).map_err(|e| told(e, &self.path))
    }
}

const SEEN: &str = "SELECT name, last_at, last_c, odd_at, odd_c, odd_count, refused_at, refused_c, refused FROM sensor";

fn seen_of(db: &Connection, sensor: &str) -> Result<Option<Seen>, DatabaseError> {
    let mut query = db.prepare_cached(&format!("{SEEN} WHERE name = ?"))?;
    Ok(query.query_row([sensor], seen).optional()?)
}

fn seen(row: &Row<'_>) -> rusqlite::Result<Seen> {
    let reading = |at: usize, c: usize| -> rusqlite::Result<Option<Reading>> {
        let (at, celsius): (Option<i64>, Option<f64>) = (row.get(at)?, row.get(c)?);
        Ok(at.zip(celsius).map(|(at, celsius)| Reading { at: Moment(at), celsius }))
    };
    let odd = reading(3, 4)?.zip(Some(row.get(5)?));
    Ok(Seen {
        name: row.get(0)?,
        guard: Guard { last: reading(1, 2)?, odd },
        refused: reading(6, 7)?,
        refused_count: row.get(8)?,
    })
}

const SLOT: &str = "SELECT begins, seconds, last_at, count, mean_c, least_c, greatest_c FROM slot";

fn slot(row: &Row<'_>) -> rusqlite::Result<Slot> {
    Ok(Slot {
        begins: Moment(row.get(0)?),
        seconds: row.get(1)?,
        last: Moment(row.get(2)?),
        count: row.get(3)?,
        mean_c: row.get(4)?,
        least_c: row.get(5)?,
        greatest_c: row.get(6)?,
    })
}

fn looked_at(row: &Row<'_>) -> rusqlite::Result<LookedAt> {
    Ok(LookedAt { name: row.get(0)?, at: Moment(row.get(1)?), fault: row.get(2)? })
}

/// Refuses a file of something else or of a newer program.
fn require_own(db: &Connection) -> Result<(), DatabaseError> {
    let pragma = |name: &str| db.pragma_query_value(None, name, |row| row.get::<_, i64>(0));
    let (mark, layout) = (pragma("application_id")?, pragma("user_version")?);
    let tables: i64 = db.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    let new = mark == 0 && layout == 0 && tables == 0;
    if new || (mark == MARK && layout <= LAYOUT) {
        return Ok(());
    }
    let message = if mark == MARK {
        "these readings were written by a newer Rimefold; use the newer program"
    } else {
        "this is a database of something else, not readings; it is left as it is"
    };
    Err(Error::Unreadable(message.to_owned()).into())
}

fn make(db: &Connection) -> Result<(), DatabaseError> {
    in_one(db, |step| {
        let layout: i64 = step.pragma_query_value(None, "user_version", |row| row.get(0))?;
        if layout < LAYOUT {
            step.execute_batch(TABLES)?;
            step.pragma_update(None, "application_id", MARK)?;
            step.pragma_update(None, "user_version", LAYOUT)?;
        }
        Ok(())
    })
}

/// In words; a damaged file of readings may go, for the diary holds what its nights came to.
fn told(e: DatabaseError, path: &Path) -> Error {
    match e.at(path) {
        Error::Unreadable(_) => Error::Unreadable(format!(
            "{} holds no readings that can be read. Move it away: a new one is begun, and the lows of past nights stand in the diary",
            path.display()
        )),
        other => other,
    }
}
