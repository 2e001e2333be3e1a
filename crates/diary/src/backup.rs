//! Copies of a diary, made while others write, and checked.

use std::path::Path;

use rusqlite::Connection;

use crate::connection::{READ_WRITE, connect, copy, whole};
use crate::database::{Diary, make_folder_for};
use crate::error::{DatabaseError, Error, damaged, unwritable};

impl Diary {
    /// Copies the diary into a new file, whole and checked, while others may go on writing. Password and visits stay
    /// behind.
    ///
    /// # Errors
    /// The file is there already or cannot be written, or the diary is damaged.
    pub fn backup(&self, to: &Path) -> Result<(), Error> {
        refuse_existing(to)?;
        Copied::beside(to, &self.db, without_door)?.name(to)
    }

    /// Whether its pages are in order, which takes a fraction of the time of [`Diary::check`].
    ///
    /// # Errors
    /// They are not, or cannot be read.
    pub fn quick_check(&self) -> Result<(), Error> {
        let looked = || -> Result<(), DatabaseError> {
            let found: String = self.db.query_row("PRAGMA quick_check(1)", [], |r| r.get(0))?;
            if found == "ok" { Ok(()) } else { Err(damaged(found)) }
        };
        looked().map_err(|e| e.at(&self.path))
    }

    /// Whether the file is whole: SQLite's own check, and every reference leads somewhere.
    ///
    /// # Errors
    /// It is damaged, or cannot be read.
    pub fn check(&self) -> Result<(), Error> {
        whole(&self.db).map_err(|e| e.at(&self.path))
    }
}

/// Refuses a path where something is.
pub(crate) fn refuse_existing(path: &Path) -> Result<(), Error> {
    if path.exists() {
        let message = format!("{} is already there; it is left as it is", path.display());
        return Err(Error::Unwritable(message));
    }
    Ok(())
}

/// Takes password and visits out of a copy, and what is left of them in its free pages.
pub(crate) fn without_door(db: &Connection) -> Result<(), DatabaseError> {
    let there = "SELECT count(*) FROM sqlite_schema WHERE name IN ('password', 'visit')";
    if db.query_row(there, [], |r| r.get::<_, i64>(0))? > 0 {
        db.execute_batch("DELETE FROM password; DELETE FROM visit; VACUUM;")?;
    }
    Ok(())
}

/// A finished copy that has no name yet, in a folder of its own beside the place it is for.
pub(crate) struct Copied {
    folder: tempfile::TempDir,
}

/// Name of a copy in its folder.
const PART: &str = "part.sqlite";
/// How the folder of an unfinished copy is called; what a killed program left is known by it.
pub const PARTS: (&str, &str) = ("diary.", ".part");

impl Copied {
    /// Copies `from` for the place `to`, changes the copy, checks it.
    pub fn beside(
        to: &Path,
        from: &Connection,
        change: impl FnOnce(&Connection) -> Result<(), DatabaseError>,
    ) -> Result<Self, Error> {
        make_folder_for(to)?;
        let folder = to.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let named = tempfile::Builder::new().prefix(PARTS.0).suffix(PARTS.1).tempdir_in(folder);
        let copied = Self { folder: named.map_err(|e| unwritable(to, &e))? };
        let made = connect(&copied.path(), READ_WRITE).and_then(|mut db| {
            copy(from, &mut db)?;
            // One file by itself, to be carried anywhere.
            db.pragma_update_and_check(None, "journal_mode", "DELETE", |_| Ok(()))?;
            change(&db)?;
            whole(&db)
        });
        made.map_err(|e| e.at(to))?;
        Ok(copied)
    }

    /// Where it is.
    pub fn path(&self) -> std::path::PathBuf {
        self.folder.path().join(PART)
    }

    /// Gives it its name; never over what is there.
    pub fn name(self, to: &Path) -> Result<(), Error> {
        // A hard link fails where the target has appeared meanwhile; a rename would replace it.
        std::fs::hard_link(self.path(), to).map_err(|e| unwritable(to, &e))
    }
}
