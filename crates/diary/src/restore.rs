//! Bringing a diary back: from a backup, or from what can still be read of a damaged one.

use std::path::{Path, PathBuf};
use std::sync::mpsc::channel;
use std::time::Duration;

use jiff::Timestamp;
use quantities::Moment;
use rusqlite::Connection;

use crate::backup::{Copied, refuse_existing, without_door};
use crate::connection::{READ_ONLY, READ_WRITE, connect, copy, whole};
use crate::database::Diary;
use crate::error::{DatabaseError, Error, unwritable};
use crate::exchange::json;
use crate::{layout, rescue};

/// Largest backup that is looked at, bytes.
const LARGEST: u64 = 1024 * 1024 * 1024;
/// A look at a backup that takes longer is given up: a few pages that lead in circles can keep SQLite for ever.
const LONGEST: Duration = Duration::from_secs(60);

/// What a restore did with the diary that was there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Old {
    /// There was none.
    None,
    /// It was sound; kept under this name.
    Kept(PathBuf),
    /// It was damaged; set aside as it was.
    Damaged {
        /// Its name now.
        file: PathBuf,
        /// Notes that could be read of it, and the file of them; `None` where none could.
        rescued: Option<(usize, PathBuf)>,
    },
}

/// Puts a backup in the place of the diary at `path`. One that is there is kept beside it: a sound one as a copy, a
/// damaged one as it is, with what can be read of it as JSON. Password and visits come from nowhere else: the password
/// stays that of the diary that was there, and every visit ends.
///
/// # Errors
/// The backup is no diary, not made as ours, damaged or of a newer program; a diary is there and `replace` is false;
/// another program has it open; or something cannot be written. What was there then stays as it was.
pub fn restore(backup: &Path, path: &Path, replace: bool, now: Moment) -> Result<Old, Error> {
    if !backup.is_file() {
        return Err(Error::NoFile(backup.to_owned()));
    }
    if path.exists() && !replace {
        return Err(Error::Unwritable(format!(
            "{} is already there; it is left as it is.\n\
             With --replace the backup takes its place and the old one is kept beside it",
            path.display()
        )));
    }
    put(&trusted(backup)?, path, now)
}

/// What rescuing a damaged diary came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rescued {
    /// Where the damaged file is now.
    pub damaged: PathBuf,
    /// Notes that could be read.
    pub notes: usize,
}

/// Begins the diary at `path` anew with what can be read of it; the damaged file is set aside as it is.
///
/// # Errors
/// There is none, it is sound, nothing can be read of it, or something cannot be written.
pub fn rescue(path: &Path, now: Moment) -> Result<Rescued, Error> {
    if !path.is_file() {
        return Err(Error::NoDiary(path.to_owned()));
    }
    if soundness(path).is_ok() {
        return Err(Error::Refused(format!(
            "{} is whole; there is nothing to rescue",
            path.display()
        )));
    }
    let Some(readable) = rescue::readable(path) else {
        return Err(Error::Unreadable(format!(
            "nothing can be read of {}; it is left as it is.\n\
             Move it away, and the next note begins a new diary",
            path.display()
        )));
    };
    let notes = rescue::count(&readable);
    match put(&readable, path, now)? {
        Old::Damaged { file, .. } | Old::Kept(file) => Ok(Rescued { damaged: file, notes }),
        Old::None => Err(Error::NoDiary(path.to_owned())),
    }
}

/// Puts a copy of `from` at `path`.
fn put(from: &Connection, path: &Path, now: Moment) -> Result<Old, Error> {
    let stamp = Timestamp::from_second(now.0).unwrap_or_default().strftime("%Y%m%dT%H%M%SZ");
    let beside = |what: &str, end: &str| path.with_file_name(format!("diary.{what}-{stamp}.{end}"));
    let there = path.exists();
    let sound = if there { soundness(path) } else { Ok(()) };
    let password = Diary::open_read_only(path).ok().and_then(|d| d.password().ok()).flatten();
    let copied = Copied::beside(path, from, |db| {
        layout::migrate(db)?;
        without_door(db)?;
        if let Some(hash) = &password {
            db.execute("INSERT INTO password (one, hash) VALUES (1, ?)", [hash])?;
        }
        Ok(())
    })?;
    match sound {
        _ if !there => copied.name(path).map(|()| Old::None),
        Ok(()) => {
            let old = beside("before-restore", "sqlite");
            refuse_existing(&old)?;
            over(&copied, path, &old)?;
            Ok(Old::Kept(old))
        }
        Err(Error::Unreadable(_)) => {
            let (file, saved) = (beside("damaged", "sqlite"), beside("rescued", "json"));
            refuse_existing(&file)?;
            let rescued = save_readable(path, &saved)?;
            aside(copied, path, &file)?;
            Ok(Old::Damaged { file, rescued })
        }
        Err(e) => Err(e),
    }
}

/// Whether the diary at `path` is whole.
fn soundness(path: &Path) -> Result<(), Error> {
    let looked = connect(path, READ_WRITE).and_then(|db| limited(&db, || whole(&db)));
    looked.map_err(|e| e.at(path))
}

/// Does something with a file that may lead in circles, for no longer than [`LONGEST`].
fn limited<T>(
    db: &Connection,
    job: impl FnOnce() -> Result<T, DatabaseError>,
) -> Result<T, DatabaseError> {
    let handle = db.get_interrupt_handle();
    let (done, waiting) = channel::<()>();
    let watch = std::thread::spawn(move || {
        if waiting.recv_timeout(LONGEST) == Err(std::sync::mpsc::RecvTimeoutError::Timeout) {
            handle.interrupt();
        }
    });
    let out = job();
    drop(done);
    let _ = watch.join();
    out
}

/// A backup that is a whole diary of this program or an older one, made as ours are and not larger than can be.
fn trusted(backup: &Path) -> Result<Connection, Error> {
    if std::fs::metadata(backup).is_ok_and(|about| about.len() > LARGEST) {
        let most = LARGEST >> 20;
        let message = format!("{} is larger than {most} MB; that is no diary", backup.display());
        return Err(Error::Unreadable(message));
    }
    let opened = connect(backup, READ_ONLY).and_then(|db| {
        limited(&db, || {
            if layout::layout(&db)? == 0 {
                let message = format!("{} is empty, no diary", backup.display());
                return Err(Error::Unreadable(message).into());
            }
            layout::require_own(&db)?;
            whole(&db)
        })?;
        Ok(db)
    });
    opened.map_err(|e| match e {
        DatabaseError::Told(e) => e,
        DatabaseError::Damaged(found) => Error::Unreadable(format!(
            "{} is damaged ({found}); take another backup. Nothing was changed",
            backup.display()
        )),
        DatabaseError::Sqlite(e) => Error::Unreadable(format!(
            "{} is no diary, or is damaged ({e}); take another backup. Nothing was changed",
            backup.display()
        )),
    })
}

/// Copies the sound diary at `path` to `old` and the finished copy over it, with everyone else kept out from first to last.
fn over(copied: &Copied, path: &Path, old: &Path) -> Result<(), Error> {
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
    Copied::beside(old, &db, |_| Ok(()))?.name(old)?;
    let from = connect(&copied.path(), READ_ONLY).map_err(|e| e.at(path))?;
    copy(&from, &mut db).and_then(|()| whole(&db)).map_err(|e| e.at(path))
}

/// Writes what can be read of a damaged diary; how many notes, and where.
fn save_readable(path: &Path, to: &Path) -> Result<Option<(usize, PathBuf)>, Error> {
    let Some(readable) = rescue::readable(path) else { return Ok(None) };
    let notes = rescue::count(&readable);
    let text = json::write(&rescue::everything(readable, path)?)?;
    let written = std::fs::write(to, text).and_then(|()| std::fs::File::open(to)?.sync_all());
    written.map_err(|e| unwritable(to, &e))?;
    Ok(Some((notes, to.to_owned())))
}

/// Files that SQLite keeps beside a diary.
const BESIDE: [&str; 3] = ["-wal", "-shm", "-journal"];

/// Sets the damaged diary aside with what belongs to it, and gives the finished copy its name. Where that fails it is put
/// back.
fn aside(copied: Copied, path: &Path, to: &Path) -> Result<(), Error> {
    let with = |file: &Path, end: &str| {
        let mut name = file.as_os_str().to_owned();
        name.push(end);
        PathBuf::from(name)
    };
    std::fs::rename(path, to).map_err(|e| unwritable(to, &e))?;
    for end in BESIDE {
        let _ = std::fs::rename(with(path, end), with(to, end));
    }
    copied.name(path).inspect_err(|_| {
        let _ = std::fs::rename(to, path);
        for end in BESIDE {
            let _ = std::fs::rename(with(to, end), with(path, end));
        }
    })
}
