//! Brings a diary up to this program's layout, one step a transaction; a newer one is refused and left as it is.

use rusqlite::{Connection, Transaction, TransactionBehavior};

use crate::error::{DatabaseError, Error};

/// One step a released layout, in order; a released step never changes.
const STEPS: [&str; 5] = [
    include_str!("migrations/0001_diary.sql"),
    include_str!("migrations/0002_door.sql"),
    include_str!("migrations/0003_done_covers.sql"),
    include_str!("migrations/0004_learning.sql"),
    include_str!("migrations/0005_messages.sql"),
];

/// Layout that this program writes.
pub(crate) const LAYOUT: i64 = STEPS.len() as i64;

/// Marks a file as a diary: `RIME` (SQLite's `application_id`).
const MARK: i64 = 0x5249_4d45;

/// Layout of the file; zero when it is empty.
///
/// # Errors
/// A newer layout, or a database of something else.
pub(crate) fn layout(db: &Connection) -> Result<i64, DatabaseError> {
    // One state of the file for all that is asked: another program may be making the diary meanwhile.
    let _one = db
        .is_autocommit()
        .then(|| Transaction::new_unchecked(db, TransactionBehavior::Deferred))
        .transpose()?;
    let pragma = |name: &str| db.pragma_query_value(None, name, |row| row.get::<_, i64>(0));
    let (mark, layout) = (pragma("application_id")?, pragma("user_version")?);
    let tables: i64 = db.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    let empty = mark == 0 && layout == 0 && tables == 0;
    if mark != MARK && !empty {
        let message =
            "this is a database of something else, not a diary; it is left as it is".to_owned();
        return Err(Error::Unreadable(message).into());
    }
    if layout > LAYOUT {
        let message = format!(
            "this diary was written by a newer Rimefold (layout {layout}, this program knows {LAYOUT}); \
             it is left as it is.\nUse the newer program"
        );
        return Err(Error::Unreadable(message).into());
    }
    Ok(layout)
}

/// Runs the steps that are missing.
///
/// # Errors
/// As [`layout`], or what SQLite says; a step is done whole or not at all.
pub(crate) fn migrate(db: &Connection) -> Result<(), DatabaseError> {
    while layout(db)? < LAYOUT {
        let step = Transaction::new_unchecked(db, TransactionBehavior::Immediate)?;
        // Another program may have done it while this one waited.
        let done = layout(&step)?;
        if let Some(sql) = usize::try_from(done).ok().and_then(|n| STEPS.get(n)) {
            step.execute_batch(sql)?;
            step.pragma_update(None, "application_id", MARK)?;
            step.pragma_update(None, "user_version", done + 1)?;
        }
        step.commit()?;
    }
    Ok(())
}

/// What a file says of its tables, indexes, triggers and views; of a foreign file no more than a little over our own.
fn said_of_tables(db: &Connection) -> Result<Vec<[String; 4]>, DatabaseError> {
    let mut query = db.prepare(
        "SELECT type, name, tbl_name, substr(coalesce(sql, ''), 1, 4000) FROM sqlite_schema \
         WHERE name NOT LIKE 'sqlite_stat%' LIMIT 200",
    )?;
    let rows = query.query_map([], |r| Ok([r.get(0)?, r.get(1)?, r.get(2)?, r.get(3)?]))?;
    let mut all: Vec<[String; 4]> = rows.collect::<Result<_, _>>()?;
    all.sort();
    Ok(all)
}

/// Refuses a file whose tables, triggers or views are not those that this program makes for its layout: what else
/// stands there could do anything, or go on for ever.
///
/// # Errors
/// They are not, or what SQLite says.
pub(crate) fn require_own(db: &Connection) -> Result<(), DatabaseError> {
    let layout = layout(db)?;
    let own = Connection::open_in_memory()?;
    for sql in STEPS.iter().take(usize::try_from(layout).unwrap_or_default()) {
        own.execute_batch(sql)?;
    }
    if said_of_tables(db)? == said_of_tables(&own)? {
        return Ok(());
    }
    let message =
        "its tables are not those that Rimefold makes; it is not taken in, and was left as it is";
    Err(Error::Unreadable(message.to_owned()).into())
}
