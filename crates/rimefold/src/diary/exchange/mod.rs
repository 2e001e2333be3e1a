//! Everything in a diary as files and back: what comes out goes into an empty diary and comes out the same, byte for byte.

pub mod csv;
pub mod json;
mod notes;
mod rows;
mod said;

use rusqlite::Connection;

use crate::diary::entry::Entry;
use crate::diary::kept::{KeptForecast, Plan, Said, forecasts, plans};
use crate::diary::trouble::Trouble;
use crate::diary::{Diary, rows as entries};
use crate::exit::{Exit, Failure};

pub use notes::NoteRow;

/// The flat row of an item, as files and `--json` hold it.
pub fn flat<R: rows::Flat>(item: &R::Item) -> R {
    R::of(item)
}

/// Something read from a file, and where it stood.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed<T> {
    /// File and line, or place in a list.
    pub place: String,
    /// What.
    pub item: T,
}

/// Everything in a diary.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Everything {
    /// What happened.
    pub notes: Vec<Placed<Entry>>,
    /// Forecasts as they were read.
    pub forecasts: Vec<Placed<KeptForecast>>,
    /// Plans as they were made.
    pub plans: Vec<Placed<Plan>>,
    /// What they said.
    pub said: Vec<Placed<Said>>,
}

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

fn unplaced<T>(items: Vec<T>) -> Vec<Placed<T>> {
    items.into_iter().map(|item| Placed { place: String::new(), item }).collect()
}

impl Diary {
    /// Everything in it, of one moment.
    ///
    /// # Errors
    /// It cannot be read.
    pub fn everything(&self) -> Result<Everything, Failure> {
        self.read(|db| {
            Ok(Everything {
                notes: unplaced(entries::all(db)?),
                forecasts: unplaced(forecasts::all(db)?),
                plans: unplaced(plans::all(db)?),
                said: unplaced(plans::all_said(db)?),
            })
        })
    }

    /// Adds what is not there yet, all or nothing.
    ///
    /// # Errors
    /// Something is there with other contents, refers to something that is nowhere, or the diary cannot be written.
    pub fn take_in(&mut self, all: &Everything) -> Result<Added, Failure> {
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
            let mut new_plans = Vec::new();
            for p in &all.plans {
                let new = at(p, |p| plan(db, p))?;
                counts[2] += seen(new);
                if new {
                    new_plans.push(&p.item.id);
                }
            }
            for s in &all.said {
                at(s, |s| said(db, s, new_plans.contains(&&s.plan)))?;
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
fn at<T, R>(placed: &Placed<T>, job: impl FnOnce(&T) -> Result<R, Trouble>) -> Result<R, Trouble> {
    job(&placed.item).map_err(|trouble| match trouble {
        Trouble::Told(f) if f.code != Exit::Bug => {
            let place = &placed.place;
            Failure::new(Exit::Diary, format!("{place}: {}\nNothing was taken in", f.message))
                .into()
        }
        other => other,
    })
}

fn differs(what: &str) -> Trouble {
    let message = format!("{what} is in the diary already, with other contents");
    Failure::new(Exit::Diary, message).into()
}

fn forecast(db: &Connection, f: &KeptForecast) -> Result<bool, Trouble> {
    let new = !forecasts::there(db, &f.sha256)?;
    if new {
        forecasts::insert(db, f)?;
    }
    Ok(new)
}

fn plan(db: &Connection, p: &Plan) -> Result<bool, Trouble> {
    match plans::one(db, &p.id)? {
        Some(old) if old == *p => return Ok(false),
        Some(_) => return Err(differs(&format!("plan {}", p.id))),
        None => {}
    }
    if let Some(forecast) = &p.forecast
        && !forecasts::there(db, forecast)?
    {
        let message =
            format!("column forecast: forecast {forecast} is neither here nor in the diary");
        return Err(Failure::new(Exit::Diary, message).into());
    }
    plans::insert(db, p)?;
    Ok(true)
}

fn said(db: &Connection, s: &Said, new: bool) -> Result<(), Trouble> {
    if new {
        return plans::insert_said(db, s);
    }
    if plans::one(db, &s.plan)?.is_none() {
        let message = format!("column plan: plan {} is neither here nor in the diary", s.plan);
        return Err(Failure::new(Exit::Diary, message).into());
    }
    Ok(())
}

fn note(db: &Connection, n: &Entry) -> Result<bool, Trouble> {
    match entries::one(db, &n.id)? {
        Some(old) if old == *n => Ok(false),
        Some(_) => Err(differs(&format!("note {}", n.id))),
        None => entries::insert(db, n).map(|()| true),
    }
}
