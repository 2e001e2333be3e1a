//! An open diary: one file, read and written in whole transactions.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use rusqlite::{Connection, Transaction, TransactionBehavior};

use crate::connection::{
    READ_WRITE, connect, connect_to_read, copy, in_one, one_file, settle, write_ahead,
};
use crate::error::{DatabaseError, Error, unwritable};
use crate::layout;

/// Name of the file beside `garden.toml`.
pub const NAME: &str = "diary.sqlite";

/// Longest wait for others who read while it is closed, and the pause between two looks.
const FAREWELL: Duration = Duration::from_secs(2);
const PAUSE: Duration = Duration::from_millis(20);

/// An open diary.
#[derive(Debug)]
pub struct Diary {
    pub(crate) db: Connection,
    pub(crate) path: PathBuf,
    /// The file that was opened, whatever is called so by now.
    file: Option<FileId>,
    writes: bool,
}

impl Drop for Diary {
    /// What is left on the disk is one file that holds every note, unless others have it open still.
    fn drop(&mut self) {
        if self.writes {
            let _ = one_file(&self.db);
        }
    }
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
        Ok(Self { db, path: path.to_owned(), file: FileId::of(path), writes: true })
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
        Ok(Self { db, path: path.to_owned(), file: FileId::of(path), writes: false })
    }

    /// Whether the file at its path is still the one that was opened, not moved away or replaced.
    #[must_use]
    pub fn is_there(&self) -> bool {
        self.path.is_file() && FileId::of(&self.path) == self.file
    }

    /// Moves what waits beside the diary into its file, which then holds every note by itself; whether all of it went.
    ///
    /// # Errors
    /// It cannot be written.
    pub fn settle(&self) -> Result<bool, Error> {
        settle(&self.db).map_err(|e| e.at(&self.path))
    }

    /// Closes it, waiting a little for others who are just reading, so that one file is left.
    pub fn close(self) {
        let begun = Instant::now();
        while begun.elapsed() < FAREWELL && one_file(&self.db).is_err() {
            std::thread::sleep(PAUSE);
        }
    }

    /// A diary that lies in memory alone, called `path` where something is wrong with it.
    pub(crate) fn over(db: Connection, path: &Path) -> Self {
        Self { db, path: path.to_owned(), file: None, writes: false }
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
        in_one(&self.db, job).map_err(|e| e.at(&self.path))
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

/// Which file on which disk; `None` where the system does not tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct FileId(u64, u64);

impl FileId {
    #[cfg(unix)]
    fn of(path: &Path) -> Option<Self> {
        use std::os::unix::fs::MetadataExt as _;
        std::fs::metadata(path).ok().map(|about| Self(about.dev(), about.ino()))
    }

    #[cfg(not(unix))]
    fn of(_: &Path) -> Option<Self> {
        None
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
