//! Tasks of a plan that were done.

use quantities::Moment;
use rusqlite::{Connection, params};

use crate::database::Diary;
use crate::entry::{Cover, Entry, What};
use crate::error::{DatabaseError, Error, damaged};
use crate::id::Id;
use crate::predictions::planned_cover;
use crate::saved_plans::SavedPlan;
use crate::tables::done::check_task;
use crate::tables::undo::struck;
use crate::{entries, night, state};

/// One task done.
#[derive(Clone, Debug, PartialEq)]
pub struct CompletedTask {
    /// Its place in the order of work, from 1.
    pub task: u32,
    /// When it was done.
    pub at: Moment,
    /// The entry that says so, to take it back.
    pub entry: Id,
    /// What lies where from then on; `None` where the plan kept does not say.
    pub cover: Option<Cover>,
}

impl Diary {
    /// Notes that a task of a plan was done: the planned cover lies on its bed from then on.
    ///
    /// A task that was done already stays as it is, whether it was noted as done or its bed as covered.
    ///
    /// # Errors
    /// No such plan or task, or the diary cannot be written.
    pub fn complete(
        &mut self,
        plan: &SavedPlan,
        task: u32,
        id: Id,
        at: Moment,
        written: Moment,
    ) -> Result<CompletedTask, Error> {
        self.write(|db| {
            check_task(db, &plan.id, task)?;
            let cover = planned_cover(db, &plan.id, task)?;
            let done = match noted(db, &plan.id, task)? {
                Some(done) => Some(done),
                None => covered(db, plan, cover.as_ref(), at)?,
            };
            if let Some((at, entry)) = done {
                return Ok(CompletedTask { task, at, entry, cover });
            }
            let what = What::Done { plan: plan.id.clone(), task, cover: cover.clone() };
            let entry = Entry::new(id, at, written, what);
            entries::insert(db, &entry)?;
            Ok(CompletedTask { task, at, entry: entry.id, cover })
        })
    }
}

/// When and by which standing entry the task was noted as done.
fn noted(db: &Connection, plan: &Id, task: u32) -> Result<Option<(Moment, Id)>, DatabaseError> {
    let struck = struck(db)?;
    let mut query = db.prepare_cached(
        "SELECT entry.at, entry.id FROM done JOIN entry ON entry.number = done.entry \
         WHERE done.plan = ? AND done.task = ? ORDER BY entry.number",
    )?;
    let mut rows = query.query(params![plan.as_str(), task])?;
    while let Some(row) = rows.next()? {
        let id: String = row.get(1)?;
        if !struck.contains(&id) {
            return Ok(Some((Moment(row.get(0)?), Id::try_from(id).map_err(damaged)?)));
        }
    }
    Ok(None)
}

/// When and by which entry the bed was covered this evening as planned.
fn covered(
    db: &Connection,
    plan: &SavedPlan,
    cover: Option<&Cover>,
    at: Moment,
) -> Result<Option<(Moment, Id)>, DatabaseError> {
    let Some(cover) = cover else { return Ok(None) };
    let from = night::afternoon_before(plan.dark);
    // A task noted at four may have been ticked on a page a moment after four.
    let beds = state::lying(&entries::judged(db)?, at.max(plan.dark));
    let bed = beds
        .into_iter()
        .find(|b| b.is_bed(&cover.bed) && b.is_covered_since(from, cover.sheet.as_deref()));
    Ok(bed.map(|b| (b.since, b.entry)))
}

/// The entry with what the plan kept says of its task, where a file said nothing of it.
pub(crate) fn with_planned_cover(db: &Connection, entry: &Entry) -> Result<Entry, DatabaseError> {
    let mut entry = entry.clone();
    if let What::Done { plan, task, cover: cover @ None } = &mut entry.what {
        *cover = planned_cover(db, plan, *task)?;
    }
    Ok(entry)
}
