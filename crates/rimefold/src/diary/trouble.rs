//! What can go wrong with a diary, told as what to do about it.

use std::path::Path;

use rusqlite::ErrorCode;

use crate::exit::{Exit, Failure};

/// Inside the diary: an error of SQLite, or one already in words.
#[derive(Debug)]
pub enum Trouble {
    /// SQLite's own.
    Sql(rusqlite::Error),
    /// In words.
    Told(Failure),
}

impl From<rusqlite::Error> for Trouble {
    fn from(e: rusqlite::Error) -> Self {
        Self::Sql(e)
    }
}

impl From<Failure> for Trouble {
    fn from(failure: Failure) -> Self {
        Self::Told(failure)
    }
}

impl Trouble {
    /// In words, for the diary at `path`.
    pub fn told(self, path: &Path) -> Failure {
        match self {
            Self::Told(failure) => failure,
            Self::Sql(e) => words(&e, path),
        }
    }
}

/// Words for an error of SQLite.
pub fn words(e: &rusqlite::Error, path: &Path) -> Failure {
    let shown = path.display();
    let write = |why: &str| {
        Failure::new(
            Exit::Write,
            format!("cannot write {shown}: {why}; what was kept before is safe"),
        )
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
        Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => Failure::new(
            Exit::Diary,
            format!(
                "{shown} is no diary, or is damaged ({e}).\n\
                 Leave it as it is and bring back a backup: rimefold diary restore BACKUP --replace"
            ),
        ),
        _ => Failure::bug(format!("{shown}: {e}")),
    }
}
