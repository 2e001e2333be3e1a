//! Copies of a diary and bringing them back; a copy is made while others write, and is checked.

use std::path::{Path, PathBuf};
use std::time::Duration;

use jiff::Timestamp;
use quantities::Moment;
use rusqlite::Connection;

use crate::connection::{READ_ONLY, READ_WRITE, connect, copy, whole};
use crate::database::{Diary, make_folder_for};
use crate::error::{DatabaseError, Error, unwritable};
use crate::layout;

impl Diary {
    /// Copies the diary into a new file, whole and checked, while others may go on writing.
    ///
    /// # Errors
    /// The file is there already or cannot be written, or the diary is damaged.
    pub fn backup(&self, to: &Path) -> Result<(), Error> {
        refuse_existing(to)?;
        copy_to_new(&self.db, to)
    }

    /// Whether the file is whole: SQLite's own check, and every reference leads somewhere.
    ///
    /// # Errors
    /// It is damaged, or cannot be read.
    pub fn check(&self) -> Result<(), Error> {
        whole(&self.db).map_err(|e| e.at(&self.path))
    }
}

/// What a restore did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Restored {
    /// Where the diary that was there is kept now.
    pub old: Option<PathBuf>,
}

/// Puts a backup in the place of the diary at `path`. One that is there is first copied beside it.
///
/// # Errors
/// The backup is no diary, damaged or of a newer program; a diary is there and `replace` is false; another program
/// has it open; or something cannot be written. The diary that was there then stays as it was.
pub fn restore(backup: &Path, path: &Path, replace: bool, now: Moment) -> Result<Restored, Error> {
    if !backup.is_file() {
        return Err(Error::NoFile(backup.to_owned()));
    }
    let from = sound(backup)?;
    if !path.exists() {
        copy_to_new(&from, path)?;
        return Ok(Restored { old: None });
    }
    if !replace {
        return Err(Error::Unwritable(format!(
            "{} is already there; it is left as it is.\n\
             With --replace the backup takes its place and the old one is kept beside it",
            path.display()
        )));
    }
    let stamp = Timestamp::from_second(now.0).unwrap_or_default().strftime("%Y%m%dT%H%M%SZ");
    let old = path.with_file_name(format!("diary.before-restore-{stamp}.sqlite"));
    refuse_existing(&old)?;
    over(&from, path, &old)?;
    Ok(Restored { old: Some(old) })
}

/// Refuses a path where something is.
fn refuse_existing(path: &Path) -> Result<(), Error> {
    if path.exists() {
        let message = format!("{} is already there; it is left as it is", path.display());
        return Err(Error::Unwritable(message));
    }
    Ok(())
}

/// A backup that is a whole diary of this program or an older one.
fn sound(backup: &Path) -> Result<Connection, Error> {
    let opened = connect(backup, READ_ONLY).and_then(|db| {
        if layout::layout(&db)? == 0 {
            let message = format!("{} is empty, no diary", backup.display());
            return Err(Error::Unreadable(message).into());
        }
        whole(&db)?;
        Ok(db)
    });
    opened.map_err(|e| e.at(backup))
}

/// Copies the diary at `path` to `old` and `from` over it, with everyone else kept out from first to last.
fn over(from: &Connection, path: &Path, old: &Path) -> Result<(), Error> {
    let mut db = connect(path, READ_WRITE).map_err(|e| e.at(path))?;
    let alone = || -> Result<(), DatabaseError> {
        db.busy_timeout(Duration::from_secs(1))?;
        db.pragma_update(None, "locking_mode", "EXCLUSIVE")?;
        Ok(db.execute_batch("BEGIN IMMEDIATE; COMMIT;")?)
    };
    alone().map_err(|e| match e {
        e if e.is_busy() => Error::Unwritable(format!(
            "another program has {} open (the pages?); stop it and try again.\nThe diary is left as it is",
            path.display()
        )),
        e => e.at(path),
    })?;
    copy_to_new(&db, old)?;
    copy(from, &mut db).and_then(|()| whole(&db)).map_err(|e| e.at(path))
}

/// A new file with the contents of `from`: written in a folder of its own beside it, checked, then named.
fn copy_to_new(from: &Connection, to: &Path) -> Result<(), Error> {
    make_folder_for(to)?;
    let failed = |e: std::io::Error| unwritable(to, &e);
    let folder = to.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let part = tempfile::tempdir_in(folder).map_err(failed)?;
    let file = part.path().join("part.sqlite");
    let made = connect(&file, READ_WRITE).and_then(|mut db| {
        copy(from, &mut db)?;
        // One file by itself, to be carried anywhere.
        db.pragma_update_and_check(None, "journal_mode", "DELETE", |_| Ok(()))?;
        whole(&db)
    });
    made.map_err(|e| e.at(to))?;
    // A hard link fails where the target has appeared meanwhile; a rename would replace it.
    std::fs::hard_link(&file, to).map_err(failed)
}
