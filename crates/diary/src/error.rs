//! What can go wrong with a diary, told as what to do about it.

use std::path::{Path, PathBuf};

use rusqlite::ErrorCode;

/// Why a diary does not do what was asked.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// There is no diary at that place.
    #[error("there is no diary at {}; `rimefold note` begins one with the first note", .0.display())]
    NoDiary(PathBuf),
    /// There is no file at that place.
    #[error("there is no file {}", .0.display())]
    NoFile(PathBuf),
    /// A value that a diary does not take, or something asked for that is not there.
    #[error("{0}")]
    Refused(String),
    /// The file, or one to take in, is no diary, is damaged, or holds what a diary does not take.
    #[error("{0}")]
    Unreadable(String),
    /// The file cannot be written, or something would be overwritten.
    #[error("{0}")]
    Unwritable(String),
    /// A fault of ours.
    #[error("{0}")]
    Bug(String),
}

impl Error {
    /// A fault of ours.
    pub fn bug(error: impl std::fmt::Display) -> Self {
        Self::Bug(error.to_string())
    }

    /// Whether it is a fault of ours rather than of the world.
    #[must_use]
    pub fn is_bug(&self) -> bool {
        matches!(self, Self::Bug(_))
    }
}

/// Inside a transaction: an error of SQLite that does not know its file yet, or one in words.
#[derive(Debug)]
pub(crate) enum DatabaseError {
    /// SQLite's own.
    Sqlite(rusqlite::Error),
    /// What the file holds cannot have been written by this program: something has damaged it.
    Damaged(String),
    /// In words.
    Told(Error),
}

/// Damage, by what was found.
pub(crate) fn damaged(found: impl std::fmt::Display) -> DatabaseError {
    DatabaseError::Damaged(found.to_string())
}

impl From<rusqlite::Error> for DatabaseError {
    fn from(e: rusqlite::Error) -> Self {
        Self::Sqlite(e)
    }
}

impl From<Error> for DatabaseError {
    fn from(e: Error) -> Self {
        Self::Told(e)
    }
}

impl DatabaseError {
    /// In words, for the diary at `path`.
    pub(crate) fn at(self, path: &Path) -> Error {
        match self {
            Self::Told(e) => e,
            Self::Damaged(found) => unreadable(path, &found),
            Self::Sqlite(e) => in_words(&e, path),
        }
    }

    /// Whether another program keeps the file from being used.
    pub(crate) fn is_busy(&self) -> bool {
        let Self::Sqlite(e) = self else { return false };
        matches!(e.sqlite_error_code(), Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked))
    }
}

/// The error of a file that cannot be written.
pub(crate) fn unwritable(path: &Path, e: &std::io::Error) -> Error {
    Error::Unwritable(format!("cannot write {}: {e}", path.display()))
}

fn in_words(e: &rusqlite::Error, path: &Path) -> Error {
    let shown = path.display();
    let write = |why: &str| {
        Error::Unwritable(format!("cannot write {shown}: {why}; what was kept before is safe"))
    };
    match e.sqlite_error_code() {
        Some(ErrorCode::DiskFull) => write("the disk is full; make room and note it again"),
        Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied | ErrorCode::CannotOpen) => {
            write("the folder or the file cannot be written; look at its permissions")
        }
        Some(ErrorCode::SystemIoFailure) => {
            write(&format!("the disk refuses ({e}); is it full, or gone?"))
        }
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => {
            write("another program is using it; wait a moment and try again")
        }
        // What only our own code can do wrong.
        Some(
            ErrorCode::ConstraintViolation | ErrorCode::ApiMisuse | ErrorCode::ParameterOutOfRange,
        ) => Error::Bug(format!("{shown}: {e}")),
        Some(ErrorCode::OutOfMemory) => write("the machine has no memory left"),
        _ => unreadable(path, &e.to_string()),
    }
}

/// A damaged diary, and the way on.
fn unreadable(path: &Path, found: &str) -> Error {
    Error::Unreadable(format!(
        "{} is no diary, or is damaged ({found}).\n\
         With a backup: rimefold diary restore BACKUP --replace. Without one: rimefold diary rescue.\n\
         Both keep the damaged file, and save what can be read of it",
        path.display()
    ))
}
