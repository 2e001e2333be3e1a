//! Rows of tasks done, with what lies where from then on.

use rusqlite::{Connection, OptionalExtension as _, params};

use crate::entry::{Cover, What};
use crate::error::{DatabaseError, Error, damaged};
use crate::id::Id;
use crate::table_row::Column as _;
use crate::tables::cover::from_columns;

/// Writes the particulars of entry `number`; the plan must have that task.
pub(crate) fn insert(
    db: &Connection,
    number: i64,
    plan: &Id,
    task: u32,
    cover: Option<&Cover>,
) -> Result<(), DatabaseError> {
    check_task(db, plan, task)?;
    db.prepare_cached(
        "INSERT INTO done (entry, plan, task, bed, sheet, layers, placement) VALUES (?, ?, ?, ?, ?, ?, ?)",
    )?
    .execute(params![
        number,
        plan.as_str(),
        task,
        cover.map(|c| &c.bed),
        cover.and_then(|c| c.sheet.as_ref()),
        cover.and_then(|c| c.layers),
        cover.and_then(|c| c.placement).to_value()
    ])?;
    Ok(())
}

/// Whether the plan is kept and has that task.
///
/// # Errors
/// It is not, or has not, or what SQLite says.
pub(crate) fn check_task(db: &Connection, plan: &Id, task: u32) -> Result<(), DatabaseError> {
    let tasks: Option<u32> = db
        .prepare_cached("SELECT tasks FROM plan WHERE id = ?")?
        .query_row([plan.as_str()], |r| r.get(0))
        .optional()?;
    let Some(tasks) = tasks else {
        let message = format!("the diary keeps no plan {}", plan.short());
        return Err(Error::Refused(message).into());
    };
    if task == 0 || task > tasks {
        let message = match tasks {
            0 => "that plan has no tasks".to_owned(),
            n => format!("that plan has no task {task}; its tasks are 1 to {n}"),
        };
        return Err(Error::Refused(message).into());
    }
    Ok(())
}

/// Reads them.
pub(crate) fn load(db: &Connection, number: i64) -> Result<What, DatabaseError> {
    let mut query = db.prepare_cached(
        "SELECT plan, task, bed, sheet, layers, placement FROM done WHERE entry = ?",
    )?;
    let (plan, task, cover): (String, _, _) = query.query_row([number], |r| {
        let bed: Option<String> = r.get(2)?;
        let cover = bed.map(|bed| from_columns(r, bed, 3)).transpose()?;
        Ok((r.get(0)?, r.get(1)?, cover))
    })?;
    let plan = Id::try_from(plan).map_err(damaged)?;
    Ok(What::Done { plan, task, cover })
}
