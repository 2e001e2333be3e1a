//! Taking in what was written into files: all of it or nothing.

use std::collections::HashSet;

use rusqlite::Connection;

use crate::completed::with_planned_cover;
use crate::database::Diary;
use crate::entries;
use crate::entry::Entry;
use crate::error::{DatabaseError, Error};
use crate::exchange::everything::Everything;
use crate::exchange::file_row::Placed;
use crate::forecasts::{self, SavedForecast};
use crate::predictions::{self, Prediction};
use crate::saved_plans::{self, SavedPlan};

/// How much came in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Added {
    /// Notes added.
    pub notes: usize,
    /// Forecasts added.
    pub forecasts: usize,
    /// Plans added.
    pub plans: usize,
    /// Notes, forecasts and plans that were there already.
    pub there_already: usize,
}

impl Diary {
    /// Adds what is not there yet, all or nothing.
    ///
    /// # Errors
    /// Something is there with other contents, refers to something that is nowhere, or the diary cannot be written.
    pub fn take_in(&mut self, all: &Everything) -> Result<Added, Error> {
        self.write(|db| {
            let mut added = Added::default();
            let mut seen = |new: bool| {
                added.there_already += usize::from(!new);
                usize::from(new)
            };
            let mut counts = [0; 3];
            for f in &all.forecasts {
                counts[1] += seen(at(f, |f| forecast(db, f))?);
            }
            let mut new_plans = HashSet::new();
            for p in &all.plans {
                let new = at(p, |p| plan(db, p))?;
                counts[2] += seen(new);
                if new {
                    new_plans.insert(p.item.id.as_str());
                }
            }
            for s in &all.predictions {
                at(s, |s| prediction(db, s, new_plans.contains(s.plan.as_str())))?;
            }
            for n in &all.notes {
                counts[0] += seen(at(n, |n| note(db, n))?);
            }
            [added.notes, added.forecasts, added.plans] = counts;
            Ok(added)
        })
    }
}

/// Runs `job` on an item; a fault names its place.
fn at<T, R>(
    placed: &Placed<T>,
    job: impl FnOnce(&T) -> Result<R, DatabaseError>,
) -> Result<R, DatabaseError> {
    job(&placed.item).map_err(|error| match error {
        DatabaseError::Told(e) if !e.is_bug() => {
            let place = &placed.place;
            Error::Unreadable(format!("{place}: {e}\nNothing was taken in")).into()
        }
        other => other,
    })
}

fn differs(what: &str) -> DatabaseError {
    let message = format!("{what} is in the diary already, with other contents");
    Error::Unreadable(message).into()
}

fn forecast(db: &Connection, f: &SavedForecast) -> Result<bool, DatabaseError> {
    let new = !forecasts::there(db, &f.sha256)?;
    if new {
        forecasts::keep(db, f)?;
    }
    Ok(new)
}

fn plan(db: &Connection, p: &SavedPlan) -> Result<bool, DatabaseError> {
    match saved_plans::one(db, &p.id)? {
        Some(old) if old == *p => return Ok(false),
        Some(_) => return Err(differs(&format!("plan {}", p.id))),
        None => {}
    }
    if let Some(forecast) = &p.forecast
        && !forecasts::there(db, forecast)?
    {
        let message =
            format!("column forecast: forecast {forecast} is neither here nor in the diary");
        return Err(Error::Unreadable(message).into());
    }
    saved_plans::keep(db, p)?;
    Ok(true)
}

fn prediction(db: &Connection, s: &Prediction, new: bool) -> Result<(), DatabaseError> {
    if new {
        return predictions::keep(db, s);
    }
    if saved_plans::one(db, &s.plan)?.is_none() {
        let message = format!("column plan: plan {} is neither here nor in the diary", s.plan);
        return Err(Error::Unreadable(message).into());
    }
    Ok(())
}

fn note(db: &Connection, n: &Entry) -> Result<bool, DatabaseError> {
    let n = with_planned_cover(db, n)?;
    match entries::one(db, &n.id)? {
        Some(old) if old == n => Ok(false),
        Some(_) => Err(differs(&format!("note {}", n.id))),
        None => entries::insert(db, &n).map(|()| true),
    }
}
