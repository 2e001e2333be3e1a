//! The diary of a garden, `diary.sqlite` beside its `garden.toml`: what happened, what was said, and how well.
//!
//! Only ever added to: an undo is an entry that strikes another. Blocking; a [`Diary`] may move to another thread.
//!
//! | module | holds |
//! |---|---|
//! | [`entry`], [`id`], [`stamp`], [`words`] | what happened, as plain data |
//! | [`rows`] | entries in and out of the database |
//! | [`readings`], [`covers`], [`sightings`], [`sheets`], [`ticks`], [`undo`] | one table each |
//! | [`kept`] | forecasts as they were read, plans as they were made |
//! | [`night`], [`skill`] | which night a reading belongs to; what was said against what was read |
//! | [`describe`], [`verdict`] | entries and skill in plain words |
//! | [`exchange`] | everything as CSV and JSON, out and in |
//! | [`backup`] | copies and bringing them back |
//! | [`visits`] | password and visits of the pages |
//! | [`migrate`], [`trouble`] | layouts; errors in words |

pub mod backup;
mod covers;
pub mod describe;
pub mod entry;
pub mod exchange;
pub mod id;
pub mod kept;
mod migrate;
pub mod night;
mod readings;
mod rows;
mod sheets;
mod sightings;
pub mod skill;
pub mod stamp;
pub mod ticks;
mod trouble;
pub mod undo;
pub mod verdict;
mod visits;
pub mod words;

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use rusqlite::{Connection, ErrorCode, OpenFlags, Transaction, TransactionBehavior};

use crate::diary::entry::Entry;
use crate::diary::trouble::Trouble;
use crate::diary::undo::Kept;
use crate::exit::{Exit, Failure};
use crate::outside::files;

/// Name of the file beside `garden.toml`.
pub const NAME: &str = "diary.sqlite";

/// Longest wait for another program that writes.
const PATIENCE: Duration = Duration::from_secs(5);

const READ_ONLY: OpenFlags =
    OpenFlags::SQLITE_OPEN_READ_ONLY.union(OpenFlags::SQLITE_OPEN_NO_MUTEX);
const READ_WRITE: OpenFlags = OpenFlags::SQLITE_OPEN_READ_WRITE
    .union(OpenFlags::SQLITE_OPEN_CREATE)
    .union(OpenFlags::SQLITE_OPEN_NO_MUTEX);

/// An open diary.
#[derive(Debug)]
pub struct Diary {
    db: Connection,
    path: PathBuf,
}

/// Where the diary of a garden file is, or would be.
pub fn beside(garden_file: &Path) -> PathBuf {
    garden_file.with_file_name(NAME)
}

impl Diary {
    /// Opens the diary at `path`, making a new one where there is none.
    ///
    /// # Errors
    /// It cannot be written, is no diary, is damaged, or was written by a newer program (then it stays untouched).
    pub fn open(path: &Path) -> Result<Self, Failure> {
        files::make_room_for(path)?;
        let opened = connect(path, READ_WRITE).and_then(|db| {
            migrate::layout(&db)?;
            write_ahead(&db)?;
            migrate::migrate(&db)?;
            Ok(db)
        });
        let db = opened.map_err(|e| e.told(path))?;
        Ok(Self { db, path: path.to_owned() })
    }

    /// Opens the diary at `path` for writing if there is one.
    ///
    /// # Errors
    /// As [`Diary::open`].
    pub fn open_there(path: &Path) -> Result<Option<Self>, Failure> {
        path.is_file().then(|| Self::open(path)).transpose()
    }

    /// Opens the diary at `path` for reading only; nothing is made, moved or migrated.
    ///
    /// # Errors
    /// There is none, it is no diary, is empty or damaged, or was written by a newer program.
    pub fn open_read_only(path: &Path) -> Result<Self, Failure> {
        if !path.is_file() {
            let message = format!(
                "there is no diary at {}; `rimefold note` begins one with the first note",
                path.display()
            );
            return Err(Failure::new(Exit::Missing, message));
        }
        let current = |db: Connection| match migrate::layout(&db)? {
            0 => {
                let message = "this diary is empty; the first note begins it";
                Err(Failure::new(Exit::Diary, message).into())
            }
            // Later layouts only add tables that reading does without.
            _ => Ok(db),
        };
        let opened = connect(path, READ_ONLY).and_then(current).or_else(|e| match e {
            Trouble::Sql(e)
                if e.sqlite_error_code() == Some(ErrorCode::CannotOpen) && !unfinished(path) =>
            {
                still(path).and_then(current)
            }
            other => Err(other),
        });
        let db = opened.map_err(|e| e.told(path))?;
        Ok(Self { db, path: path.to_owned() })
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// A number that changes with every write, by this connection or another.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn writes(&self) -> Result<i64, Failure> {
        let count = || -> Result<i64, Trouble> {
            let others: i64 = self.db.pragma_query_value(None, "data_version", |r| r.get(0))?;
            let own = i64::try_from(self.db.total_changes()).unwrap_or(i64::MAX);
            Ok((others << 32) | (own & 0xffff_ffff))
        };
        count().map_err(|e| e.told(&self.path))
    }

    /// Adds entries, all or none.
    ///
    /// # Errors
    /// A value that a diary does not take, or it cannot be written.
    pub fn add(&mut self, entries: &[Entry]) -> Result<(), Failure> {
        self.write(|db| entries.iter().try_for_each(|e| rows::insert(db, e)))
    }

    /// Every entry in the order written, with whether it stands.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn entries(&self) -> Result<Vec<Kept>, Failure> {
        self.read(rows::all).map(undo::judge)
    }

    /// Runs `job` in one transaction that keeps others from writing meanwhile: all of it or nothing is kept.
    fn write<T>(
        &mut self,
        job: impl FnOnce(&Connection) -> Result<T, Trouble>,
    ) -> Result<T, Failure> {
        let run = || {
            let all = Transaction::new_unchecked(&self.db, TransactionBehavior::Immediate)?;
            let out = job(&all)?;
            all.commit()?;
            Ok(out)
        };
        run().map_err(|e: Trouble| e.told(&self.path))
    }

    /// Runs `job` on one state of the diary, whatever others write meanwhile.
    fn read<T>(&self, job: impl FnOnce(&Connection) -> Result<T, Trouble>) -> Result<T, Failure> {
        let run = || {
            let state = Transaction::new_unchecked(&self.db, TransactionBehavior::Deferred)?;
            job(&state)
        };
        run().map_err(|e: Trouble| e.told(&self.path))
    }
}

/// A connection with what every connection needs: references hold, others are waited for, a commit is on the disk.
fn connect(path: &Path, flags: OpenFlags) -> Result<Connection, Trouble> {
    let db = Connection::open_with_flags(path, flags)?;
    db.busy_timeout(PATIENCE)?;
    db.pragma_update(None, "foreign_keys", true)?;
    db.pragma_update(None, "synchronous", "FULL")?;
    db.set_prepared_statement_cache_capacity(64);
    Ok(db)
}

/// Whether notes still lie in the write-ahead file beside the diary.
fn unfinished(path: &Path) -> bool {
    let mut ahead = path.as_os_str().to_owned();
    ahead.push("-wal");
    PathBuf::from(ahead).metadata().is_ok_and(|about| about.len() > 0)
}

/// A connection to a diary in a folder that nobody can write: SQLite can make no file beside it, and needs none.
fn still(path: &Path) -> Result<Connection, Trouble> {
    let plain = |b: u8| b.is_ascii_alphanumeric() || b"/-_.~:".contains(&b);
    let shown = path.display().to_string();
    let name = |b: u8| if plain(b) { char::from(b).to_string() } else { format!("%{b:02X}") };
    let name: String = shown.bytes().map(name).collect();
    let uri = PathBuf::from(format!("file:{name}?immutable=1"));
    connect(&uri, READ_ONLY | OpenFlags::SQLITE_OPEN_URI)
}

/// Turns to write-ahead logging, kept in the file. SQLite does not wait for others here, so this does.
fn write_ahead(db: &Connection) -> Result<(), Trouble> {
    let begun = Instant::now();
    loop {
        let turned =
            db.pragma_update_and_check(None, "journal_mode", "WAL", |row| row.get::<_, String>(0));
        match turned {
            Err(e)
                if e.sqlite_error_code() == Some(ErrorCode::DatabaseBusy)
                    && begun.elapsed() < PATIENCE =>
            {
                std::thread::sleep(Duration::from_millis(20));
            }
            Err(e) => return Err(e.into()),
            Ok(_) => return Ok(()),
        }
    }
}
