//! What can still be read of a damaged diary, row by row.

use std::collections::BTreeSet;
use std::path::Path;

use rusqlite::Connection;

use crate::connection::READ_WRITE;
use crate::database::Diary;
use crate::entry::{Act, Entry, What};
use crate::error::{DatabaseError, Error};
use crate::exchange::everything::Everything;
use crate::{entries, forecasts, layout, predictions, saved_plans};

/// A new diary in memory with every forecast, plan and note of a damaged one that can be read and still makes sense;
/// `None` where nothing can. The damaged file is not touched: a copy is read.
pub(crate) fn readable(path: &Path) -> Option<Connection> {
    let scratch = tempfile::tempdir_in(path.parent()?).or_else(|_| tempfile::tempdir()).ok()?;
    let copy = scratch.path().join("damaged.sqlite");
    for end in ["", "-wal", "-journal"] {
        let name = |p: &Path| {
            let mut name = p.as_os_str().to_owned();
            name.push(end);
            name
        };
        let copied = std::fs::copy(name(path), name(&copy));
        if end.is_empty() {
            copied.ok()?;
        }
    }
    let from = Connection::open_with_flags(&copy, READ_WRITE).ok()?;
    // First of all, so that a file that was cut short is read as far as it goes.
    from.pragma_update(None, "writable_schema", true).ok()?;
    from.pragma_update(None, "trusted_schema", false).ok()?;
    layout::migrate(&from).ok()?;
    let to = Connection::open_in_memory().ok()?;
    to.pragma_update(None, "foreign_keys", true).ok()?;
    layout::migrate(&to).ok()?;
    for number in numbers(&from, "forecast") {
        kept(&to, || forecasts::keep(&to, &forecasts::numbered(&from, number)?));
    }
    for number in numbers(&from, "plan") {
        kept(&to, || {
            let mut plan = saved_plans::numbered(&from, number)?;
            if let Some(forecast) = &plan.forecast
                && !forecasts::there(&to, forecast)?
            {
                plan.forecast = None;
            }
            saved_plans::keep(&to, &plan)?;
            // What it said is kept as far as it can be read.
            let said = predictions::of_plan(&from, &plan.id).unwrap_or_default();
            for one in &said {
                kept(&to, || predictions::keep(&to, one));
            }
            Ok(())
        });
    }
    for number in numbers(&from, "entry") {
        let Ok(entry) = entries::numbered(&from, number) else { continue };
        if !kept(&to, || entries::insert(&to, &entry))
            && let Some(covered) = as_cover(&entry)
        {
            kept(&to, || entries::insert(&to, &covered));
        }
    }
    (count(&to) > 0 || !numbers(&to, "plan").is_empty()).then_some(to)
}

/// How many notes are in it.
pub(crate) fn count(db: &Connection) -> usize {
    numbers(db, "entry").len()
}

/// Everything in what was read.
pub(crate) fn everything(db: Connection, path: &Path) -> Result<Everything, Error> {
    Diary::over(db, path).everything()
}

/// Numbers of the rows that can be reached from the beginning or from the end.
fn numbers(db: &Connection, table: &str) -> BTreeSet<i64> {
    let mut found = BTreeSet::new();
    for order in ["ASC", "DESC"] {
        let sql = format!("SELECT number FROM {table} ORDER BY number {order}");
        let Ok(mut query) = db.prepare(&sql) else { continue };
        let Ok(rows) = query.query_map([], |r| r.get::<_, i64>(0)) else { continue };
        found.extend(rows.map_while(Result::ok));
    }
    found
}

/// Whether a step could be done; one that could not leaves nothing behind.
fn kept(db: &Connection, step: impl FnOnce() -> Result<(), DatabaseError>) -> bool {
    if db.execute_batch("SAVEPOINT step").is_err() {
        return false;
    }
    let done = step().is_ok();
    let _ = db.execute_batch(if done { "RELEASE step" } else { "ROLLBACK TO step; RELEASE step" });
    done
}

/// A task whose plan is lost, as what it laid.
fn as_cover(entry: &Entry) -> Option<Entry> {
    let What::Done { cover: Some(cover), .. } = &entry.what else { return None };
    let what = What::Cover { act: Act::Covered, cover: cover.clone() };
    Some(Entry { what, ..entry.clone() })
}
