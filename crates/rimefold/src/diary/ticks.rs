//! Tasks of a plan ticked off.

use quantities::Moment;
use rusqlite::{Connection, OptionalExtension as _, params};

use crate::diary::Diary;
use crate::diary::entry::{Entry, What};
use crate::diary::id::Id;
use crate::diary::trouble::Trouble;
use crate::exit::{Exit, Failure};

/// Writes the particulars of entry `number`; the plan must have that task.
pub fn insert(db: &Connection, number: i64, plan: &Id, task: u32) -> Result<(), Trouble> {
    let tasks: Option<u32> = db
        .prepare_cached("SELECT tasks FROM plan WHERE id = ?")?
        .query_row([plan.as_str()], |r| r.get(0))
        .optional()?;
    let Some(tasks) = tasks else {
        let message = format!("the diary keeps no plan {}", plan.short());
        return Err(Failure::new(Exit::Usage, message).into());
    };
    if task == 0 || task > tasks {
        let message = match tasks {
            0 => "that plan has no tasks".to_owned(),
            n => format!("that plan has no task {task}; its tasks are 1 to {n}"),
        };
        return Err(Failure::new(Exit::Usage, message).into());
    }
    db.prepare_cached("INSERT INTO done (entry, plan, task) VALUES (?, ?, ?)")?
        .execute(params![number, plan.as_str(), task])?;
    Ok(())
}

/// Reads them.
pub fn load(db: &Connection, number: i64) -> Result<What, Trouble> {
    let mut query = db.prepare_cached("SELECT plan, task FROM done WHERE entry = ?")?;
    let (plan, task): (String, _) = query.query_row([number], |r| Ok((r.get(0)?, r.get(1)?)))?;
    let plan = Id::try_from(plan).map_err(Failure::bug)?;
    Ok(What::Done { plan, task })
}

/// One task ticked off.
#[derive(Clone, Debug, PartialEq)]
pub struct Tick {
    /// Its place in the order of work, from 1.
    pub task: u32,
    /// When it was done.
    pub at: Moment,
    /// The entry, to take it back.
    pub entry: Id,
}

impl Diary {
    /// Ticks off a task of a plan; one that is ticked already stays as it is.
    ///
    /// # Errors
    /// No such plan or task, or the diary cannot be written.
    pub fn tick(
        &mut self,
        plan: &Id,
        task: u32,
        at: Moment,
        written: Moment,
    ) -> Result<Tick, Failure> {
        if let Some(tick) = self.ticks(plan)?.into_iter().find(|t| t.task == task) {
            return Ok(tick);
        }
        let entry = Entry::new(at, written, What::Done { plan: plan.clone(), task })?;
        self.add(std::slice::from_ref(&entry))?;
        Ok(Tick { task, at, entry: entry.id })
    }

    /// The tasks of a plan that stand as done, in the order they were ticked.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn ticks(&self, plan: &Id) -> Result<Vec<Tick>, Failure> {
        let tick = |e: Entry| match e.what {
            What::Done { plan: of, task } if of == *plan => {
                Some(Tick { task, at: e.at, entry: e.id })
            }
            _ => None,
        };
        Ok(self.entries()?.into_iter().filter(|k| k.stands).filter_map(|k| tick(k.entry)).collect())
    }
}
