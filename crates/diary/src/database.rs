//! An open diary: one file, read and written in whole transactions.

use std::path::{Path, PathBuf};

use rusqlite::{Connection, Transaction, TransactionBehavior};

use crate::connection::{READ_WRITE, connect, connect_to_read, copy, write_ahead};
use crate::error::{DatabaseError, Error, unwritable};
use crate::layout;

/// Name of the file beside `garden.toml`.
pub const NAME: &str = "diary.sqlite";

/// An open diary.
#[derive(Debug)]
pub struct Diary {
    pub(crate) db: Connection,
    pub(crate) path: PathBuf,
}

/// Where the diary of a garden file is, or would be.
#[must_use]
pub fn beside(garden_file: &Path) -> PathBuf {
    garden_file.with_file_name(NAME)
}

impl Diary {
    /// Opens the diary at `path`, making a new one where there is none.
    ///
    /// # Errors
    /// It cannot be written, is no diary, is damaged, or was written by a newer program (then it stays untouched).
    pub fn open(path: &Path) -> Result<Self, Error> {
        make_folder_for(path)?;
        let opened = connect(path, READ_WRITE).and_then(|db| {
            layout::layout(&db)?;
            write_ahead(&db)?;
            layout::migrate(&db)?;
            Ok(db)
        });
        let db = opened.map_err(|e| e.at(path))?;
        Ok(Self { db, path: path.to_owned() })
    }

    /// Opens the diary at `path` for writing if there is one.
    ///
    /// # Errors
    /// As [`Diary::open`].
    pub fn open_there(path: &Path) -> Result<Option<Self>, Error> {
        path.is_file().then(|| Self::open(path)).transpose()
    }

    /// Opens the diary at `path` for reading only; nothing is made, moved or migrated in the file.
    ///
    /// # Errors
    /// There is none, it is no diary, is empty or damaged, or was written by a newer program.
    pub fn open_read_only(path: &Path) -> Result<Self, Error> {
        if !path.is_file() {
            return Err(Error::NoDiary(path.to_owned()));
        }
        let db = connect_to_read(path, current).map_err(|e| e.at(path))?;
        Ok(Self { db, path: path.to_owned() })
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// A number that changes with every write, by this connection or another.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn writes(&self) -> Result<i64, Error> {
        let count = || -> Result<i64, DatabaseError> {
            let others: i64 = self.db.pragma_query_value(None, "data_version", |r| r.get(0))?;
            let own = i64::try_from(self.db.total_changes()).unwrap_or(i64::MAX);
            Ok((others << 32) | (own & 0xffff_ffff))
        };
        count().map_err(|e| e.at(&self.path))
    }

    /// Runs `job` in one transaction that keeps others from writing meanwhile: all of it or nothing is kept.
    pub(crate) fn write<T>(
        &mut self,
        job: impl FnOnce(&Connection) -> Result<T, DatabaseError>,
    ) -> Result<T, Error> {
        let run = || {
            let all = Transaction::new_unchecked(&self.db, TransactionBehavior::Immediate)?;
            let out = job(&all)?;
            all.commit()?;
            Ok(out)
        };
        run().map_err(|e: DatabaseError| e.at(&self.path))
    }

    /// Runs `job` on one state of the diary, whatever others write meanwhile.
    pub(crate) fn read<T>(
        &self,
        job: impl FnOnce(&Connection) -> Result<T, DatabaseError>,
    ) -> Result<T, Error> {
        let run = || {
            let state = Transaction::new_unchecked(&self.db, TransactionBehavior::Deferred)?;
            job(&state)
        };
        run().map_err(|e: DatabaseError| e.at(&self.path))
    }
}

/// A diary of today's layout; one of an older layout as a copy in memory, brought up to date there.
fn current(db: Connection) -> Result<Connection, DatabaseError> {
    match layout::layout(&db)? {
        0 => {
            let message = "this diary is empty; the first note begins it".to_owned();
            Err(Error::Unreadable(message).into())
        }
        layout::LAYOUT => Ok(db),
        _ => {
            let mut newer = Connection::open_in_memory()?;
            copy(&db, &mut newer)?;
            layout::migrate(&newer)?;
            Ok(newer)
        }
    }
}

/// Makes the folder that a file is to be in.
pub(crate) fn make_folder_for(path: &Path) -> Result<(), Error> {
    match path.parent().filter(|p| !p.as_os_str().is_empty()) {
        Some(folder) => std::fs::create_dir_all(folder).map_err(|e| unwritable(path, &e)),
        None => Ok(()),
    }
}
