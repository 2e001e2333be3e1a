//! Connections to a diary's file: what every one needs, copies from one to another, whether a file is whole.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, ErrorCode, OpenFlags, Transaction, TransactionBehavior};

use crate::error::{DatabaseError, Error, damaged};

/// Longest wait for another program that writes.
const PATIENCE: Duration = Duration::from_secs(5);
/// Pause between two looks whether it is done.
const PAUSE: Duration = Duration::from_millis(20);

pub(crate) const READ_ONLY: OpenFlags =
    OpenFlags::SQLITE_OPEN_READ_ONLY.union(OpenFlags::SQLITE_OPEN_NO_MUTEX);
pub(crate) const READ_WRITE: OpenFlags = OpenFlags::SQLITE_OPEN_READ_WRITE
    .union(OpenFlags::SQLITE_OPEN_CREATE)
    .union(OpenFlags::SQLITE_OPEN_NO_MUTEX);

/// A connection with what every connection needs: references hold, others are waited for, a commit is on the disk.
pub(crate) fn connect(path: &Path, flags: OpenFlags) -> Result<Connection, DatabaseError> {
    let db = Connection::open_with_flags(path, flags)?;
    db.busy_timeout(PATIENCE)?;
    db.pragma_update(None, "foreign_keys", true)?;
    // The folder too: a rollback journal that came back after a power cut would undo what was written since.
    db.pragma_update(None, "synchronous", "EXTRA")?;
    // Functions and tables with side effects stay out of reach of what a file's own layout says.
    db.pragma_update(None, "trusted_schema", false)?;
    db.set_prepared_statement_cache_capacity(64);
    Ok(db)
}

/// A connection for reading, given to `check` before it is used; also where the folder cannot be written.
pub(crate) fn connect_to_read(
    path: &Path,
    check: impl Fn(Connection) -> Result<Connection, DatabaseError>,
) -> Result<Connection, DatabaseError> {
    connect(path, READ_ONLY).and_then(&check).or_else(|e| match e {
        DatabaseError::Sqlite(e)
            if e.sqlite_error_code() == Some(ErrorCode::CannotOpen) && !unfinished(path) =>
        {
            immutable(path).and_then(check)
        }
        other => Err(other),
    })
}

/// Whether notes still lie in the write-ahead file beside the diary.
fn unfinished(path: &Path) -> bool {
    let mut ahead = path.as_os_str().to_owned();
    ahead.push("-wal");
    PathBuf::from(ahead).metadata().is_ok_and(|about| about.len() > 0)
}

/// A connection to a diary in a folder that nobody can write: SQLite can make no file beside it, and needs none.
fn immutable(path: &Path) -> Result<Connection, DatabaseError> {
    let plain = |b: u8| b.is_ascii_alphanumeric() || b"/-_.~:".contains(&b);
    let shown = path.display().to_string();
    let name = |b: u8| if plain(b) { char::from(b).to_string() } else { format!("%{b:02X}") };
    let name: String = shown.bytes().map(name).collect();
    let uri = PathBuf::from(format!("file:{name}?immutable=1"));
    connect(&uri, READ_ONLY | OpenFlags::SQLITE_OPEN_URI)
}

/// Turns to write-ahead logging, kept in the file. SQLite does not wait for others here, so this does.
pub(crate) fn write_ahead(db: &Connection) -> Result<(), DatabaseError> {
    let begun = Instant::now();
    loop {
        let turned =
            db.pragma_update_and_check(None, "journal_mode", "WAL", |row| row.get::<_, String>(0));
        match turned {
            Err(e)
                if e.sqlite_error_code() == Some(ErrorCode::DatabaseBusy)
                    && begun.elapsed() < PATIENCE =>
            {
                std::thread::sleep(PAUSE);
            }
            Err(e) => return Err(e.into()),
            Ok(_) => return Ok(()),
        }
    }
}

/// Runs `job` in one transaction that keeps others from writing meanwhile: all of it or nothing is kept.
pub(crate) fn in_one<T>(
    db: &Connection,
    job: impl FnOnce(&Connection) -> Result<T, DatabaseError>,
) -> Result<T, DatabaseError> {
    let all = Transaction::new_unchecked(db, TransactionBehavior::Immediate)?;
    let out = job(&all)?;
    all.commit()?;
    Ok(out)
}

/// Moves what waits in the write-ahead file into the diary's own, which then holds every note by itself; what others are
/// just reading stays for the next time: whether all went.
pub(crate) fn settle(db: &Connection) -> Result<bool, DatabaseError> {
    Ok(db.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |r| Ok(r.get::<_, i64>(0)? == 0))?)
}

/// Makes the diary one file, with nothing beside it, where nobody else has it open.
pub(crate) fn one_file(db: &Connection) -> Result<(), DatabaseError> {
    db.busy_timeout(Duration::ZERO)?;
    Ok(db.pragma_update_and_check(None, "journal_mode", "DELETE", |_| Ok(()))?)
}

/// Copies page by page; begins again by itself when somebody writes meanwhile.
pub(crate) fn copy(from: &Connection, to: &mut Connection) -> Result<(), DatabaseError> {
    let backup = Backup::new(from, to)?;
    let begun = Instant::now();
    loop {
        match backup.step(-1)? {
            StepResult::Done => return Ok(()),
            _ if begun.elapsed() > PATIENCE => {
                let message = "another program keeps the diary busy; try again";
                return Err(Error::Unwritable(message.to_owned()).into());
            }
            _ => std::thread::sleep(PAUSE),
        }
    }
}

/// Whether a file is whole: SQLite's own check, and every reference leads somewhere.
pub(crate) fn whole(db: &Connection) -> Result<(), DatabaseError> {
    let found: String = db.query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))?;
    let lost = db.prepare("PRAGMA foreign_key_check")?.exists([])?;
    if found == "ok" && !lost {
        return Ok(());
    }
    let why = if found == "ok" { "it refers to entries that are not there" } else { &found };
    Err(damaged(why))
}
