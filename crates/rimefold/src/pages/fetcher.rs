//! The forecast fetched by itself while the pages are served, where the garden file says from where.

use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use garden::Garden;
use quantities::Moment;

use crate::answers::tonight::wrong_place;
use crate::format::GardenFormat;
use crate::outside::fetch::forecast::{Manner, fetch_for, path};
use crate::outside::{accepted_place, files};
use crate::pages::folder::garden_file;
use crate::pages::planner::Planner;

/// How often it is looked whether it is time.
const LOOK_EVERY: Duration = Duration::from_secs(5);
/// Pause after a question that failed; doubled each time, up to the usual one.
const PAUSE_S: f64 = 300.0;
/// A clock that went back by more than this says nothing of how long ago the last question was, s.
const SET_BACK_S: i64 = 60;

/// Why the forecast could not be fetched, and since when.
#[derive(Clone, Debug)]
struct Failing {
    since: Moment,
    why: String,
    times: u32,
}

/// The thread that fetches, and what it has to tell.
#[derive(Clone)]
pub struct Fetcher {
    planner: Arc<Planner>,
    failing: Arc<Mutex<Option<Failing>>>,
}

impl Fetcher {
    /// Nothing is fetched yet.
    pub fn new(planner: Arc<Planner>) -> Self {
        Self { planner, failing: Arc::default() }
    }

    /// Starts the thread, for as long as the program runs.
    pub fn keep(&self) {
        let fetcher = self.clone();
        std::thread::spawn(move || fetcher.fetch_for_ever());
    }

    /// That the forecast could not be fetched, and why, in a sentence.
    pub fn told(&self) -> Option<String> {
        let failing = self.failing.lock().unwrap_or_else(PoisonError::into_inner).clone()?;
        let garden = self.planner.evening().garden?;
        let words = GardenFormat::new(garden.units, &garden.zone);
        let since = format!("{} {}", words.day(failing.since), words.time(failing.since));
        Some(format!("no newer forecast since {since}: {}", failing.why))
    }

    fn fetch_for_ever(&self) {
        let mut last: Option<(Instant, Moment)> = None;
        loop {
            std::thread::sleep(LOOK_EVERY);
            let Some(garden) = self.planner.evening().garden else { continue };
            let Some(of) = &garden.forecast else { continue };
            let now = self.planner.clock.now();
            let pause_s = self.pause_s(of.every_h * 3600.0);
            let fresh = || files::age_s(&path(&garden_file(&self.planner.folder)));
            let due = match last {
                // After a start, what was fetched before counts.
                None => fresh().is_none_or(|age| age >= pause_s),
                // Time asleep counts by the clock, a clock that was set counts by the time that passed.
                Some((at, moment)) => {
                    at.elapsed().as_secs_f64() >= pause_s
                        || (now.0 - moment.0) as f64 >= pause_s
                        || now.0 < moment.0 - SET_BACK_S
                }
            };
            if due {
                last = Some((Instant::now(), now));
                self.fetch(&garden, now);
            }
        }
    }

    fn pause_s(&self, usual_s: f64) -> f64 {
        let failing = self.failing.lock().unwrap_or_else(PoisonError::into_inner);
        let doubled = |f: &Failing| PAUSE_S * 2_f64.powi(f.times.min(10).cast_signed() - 1);
        failing.as_ref().map_or(usual_s, |f| doubled(f).min(usual_s))
    }

    fn fetch(&self, garden: &Garden, now: Moment) {
        let file = garden_file(&self.planner.folder);
        let accepted = |p: &quantities::Place| accepted_place::holds(&file, p);
        let fits = |bytes: &[u8]| wrong_place::fits(garden, bytes, accepted);
        let fetched = fetch_for(garden, &file, &Manner::default(), &fits);
        let mut failing = self.failing.lock().unwrap_or_else(PoisonError::into_inner);
        match fetched {
            Ok(_) => {
                *failing = None;
                self.planner.nudge();
            }
            Err(e) => {
                let (since, times) =
                    failing.as_ref().map_or((now, 1), |f| (f.since, f.times.saturating_add(1)));
                *failing = Some(Failing { since, why: e.message, times });
            }
        }
    }
}
