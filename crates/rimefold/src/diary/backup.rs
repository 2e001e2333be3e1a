//! Copies of a diary and bringing them back; a copy is made while others write, and is checked.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use jiff::Timestamp;
use quantities::Moment;
use rusqlite::Connection;
use rusqlite::backup::{Backup, StepResult};

use crate::diary::trouble::Trouble;
use crate::diary::{Diary, PATIENCE, READ_ONLY, READ_WRITE, connect, migrate};
use crate::exit::{Exit, Failure};
use crate::outside::files;

impl Diary {
    /// Copies the diary into a new file, whole and checked, while others may go on writing.
    ///
    /// # Errors
    /// The file is there already or cannot be written, or the diary is damaged.
    pub fn backup(&self, to: &Path) -> Result<(), Failure> {
        files::refuse_existing(to)?;
        files::make_room_for(to)?;
        copy_to_new(&self.db, to)
    }

    /// Whether the file is whole: SQLite's own check, and every reference leads somewhere.
    ///
    /// # Errors
    /// It is damaged, or cannot be read.
    pub fn check(&self) -> Result<(), Failure> {
        whole(&self.db).map_err(|e| e.told(&self.path))
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
pub fn restore(
    backup: &Path,
    path: &Path,
    replace: bool,
    now: Moment,
) -> Result<Restored, Failure> {
    if !backup.is_file() {
        let message = format!("there is no file {}", backup.display());
        return Err(Failure::new(Exit::Missing, message));
    }
    let from = sound(backup)?;
    if !path.exists() {
        files::make_room_for(path)?;
        copy_to_new(&from, path)?;
        return Ok(Restored { old: None });
    }
    if !replace {
        let message = format!(
            "{} is already there; it is left as it is.\n\
             With --replace the backup takes its place and the old one is kept beside it",
            path.display()
        );
        return Err(Failure::new(Exit::Write, message));
    }
    let stamp = Timestamp::from_second(now.0).unwrap_or_default().strftime("%Y%m%dT%H%M%SZ");
    let old = path.with_file_name(format!("diary.before-restore-{stamp}.sqlite"));
    files::refuse_existing(&old)?;
    over(&from, path, &old)?;
    Ok(Restored { old: Some(old) })
}

/// A backup that is a whole diary of this program or an older one.
fn sound(backup: &Path) -> Result<Connection, Failure> {
    let opened = connect(backup, READ_ONLY).and_then(|db| {
        if migrate::layout(&db)? == 0 {
            let message = format!("{} is empty, no diary", backup.display());
            return Err(Failure::new(Exit::Diary, message).into());
        }
        whole(&db)?;
        Ok(db)
    });
    opened.map_err(|e| e.told(backup))
}

/// Copies the diary at `path` to `old` and `from` over it, with everyone else kept out from first to last.
fn over(from: &Connection, path: &Path, old: &Path) -> Result<(), Failure> {
    let told = |e: Trouble| e.told(path);
    let mut db = connect(path, READ_WRITE).map_err(told)?;
    let alone = || -> rusqlite::Result<()> {
        db.busy_timeout(Duration::from_secs(1))?;
        db.pragma_update(None, "locking_mode", "EXCLUSIVE")?;
        db.execute_batch("BEGIN IMMEDIATE; COMMIT;")
    };
    alone().map_err(|e| match Trouble::from(e).told(path) {
        f if f.message.contains("another program") => Failure::new(
            Exit::Write,
            format!(
                "another program has {} open (the pages?); stop it and try again.\nThe diary is left as it is",
                path.display()
            ),
        ),
        f => f,
    })?;
    copy_to_new(&db, old)?;
    copy(from, &mut db).and_then(|()| whole(&db)).map_err(told)
}

/// A new file with the contents of `from`: written under another name, checked, then named.
fn copy_to_new(from: &Connection, to: &Path) -> Result<(), Failure> {
    let part = files::part_of(to);
    let made = connect(&part, READ_WRITE).and_then(|mut db| {
        copy(from, &mut db)?;
        // One file by itself, to be carried anywhere.
        db.pragma_update_and_check(None, "journal_mode", "DELETE", |_| Ok(()))?;
        whole(&db)
    });
    match made {
        Ok(()) => files::place_new(&part, to),
        Err(e) => {
            files::remove_database(&part);
            Err(e.told(to))
        }
    }
}

/// Copies page by page; begins again by itself when somebody writes meanwhile.
fn copy(from: &Connection, to: &mut Connection) -> Result<(), Trouble> {
    let backup = Backup::new(from, to)?;
    let begun = Instant::now();
    loop {
        match backup.step(-1)? {
            StepResult::Done => return Ok(()),
            _ if begun.elapsed() > PATIENCE => {
                let message = "another program keeps the diary busy; try again";
                return Err(Failure::new(Exit::Write, message).into());
            }
            _ => std::thread::sleep(Duration::from_millis(20)),
        }
    }
}

fn whole(db: &Connection) -> Result<(), Trouble> {
    let found: String = db.query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))?;
    let lost = db.prepare("PRAGMA foreign_key_check")?.exists([])?;
    if found == "ok" && !lost {
        return Ok(());
    }
    let why = if found == "ok" { "it refers to entries that are not there" } else { &found };
    Err(Failure::new(Exit::Diary, format!("the diary is damaged: {why}")).into())
}
