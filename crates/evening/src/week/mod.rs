//! The nights ahead as one plan: garden, what lies on the beds and forecast in, [`WeekReport`] out.
//!
//! The physics says what each cover loses in each night and costs by day; [`crate::horizon`] plans. Start at [`plan`].
//! What lies and what a day under it costs is the same for [`crate::tonight()`]: [`crate::lies`], [`crate::day_cost`].
//!
//! | module | holds |
//! |---|---|
//! | [`weather`] | the nights that the forecast reaches, each with its possible courses |
//! | [`courses`] | what may become known from now on |
//! | [`bed`], `options` | one bed through all nights and days; which covers are tried on it |
//! | [`losses`] | what a bed can lose: all that the plan asks of it |
//! | [`problem`] | all of it as the abstract problem |
//! | [`report`] | the answer |

pub mod bed;
pub mod courses;
pub mod losses;
mod options;
pub mod problem;
pub mod report;
mod shortages;
pub mod weather;

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use ::weather::Forecast;
use garden::lying::GardenState;
use garden::{Bed, Garden};
use milp::{Microlp, Solver};
use quantities::Moment;
use rayon::prelude::*;

use crate::error::Error;
use crate::horizon::{self, Problem, SeveralNights, repair};
use crate::learned::Learned;
use crate::lies;
use crate::tonight::coming_night::coming_night;
use crate::week::bed::BedCourses;
use crate::week::courses::Courses;
use crate::week::report::{BedNight, BedWeek, WeekProof, WeekReport};
use crate::week::weather::Weather;

/// How the nights are drawn, and how hard the planner tries.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Possible courses of the coming night, as for [`crate::tonight()`].
    pub first_nights: usize,
    /// Possible courses of each later night.
    pub later_nights: usize,
    /// Seed of the draw.
    pub seed: u64,
    /// The planner's.
    pub planner: horizon::Settings,
}

impl Default for Settings {
    fn default() -> Self {
        let planner = horizon::Settings::default();
        Self { first_nights: 200, later_nights: 64, seed: 1, planner }
    }
}

/// All that was simulated of the nights ahead, before words.
pub struct SimulatedNights {
    /// The weather.
    pub weather: Weather,
    /// The beds under it.
    pub beds: Vec<Arc<BedCourses>>,
    /// The abstract problem.
    pub problem: Problem,
}

/// A question of several nights.
#[derive(Clone, Copy)]
pub struct Question<'a> {
    /// The garden.
    pub garden: &'a Garden,
    /// What lies on its beds.
    pub state: &'a GardenState,
    /// The forecast.
    pub forecast: &'a Forecast,
    /// The hours before, where they are known.
    pub past: Option<&'a Forecast>,
    /// The moment of asking.
    pub asked_at: Moment,
    /// What is known of this garden beyond its forecast.
    pub learned: Learned<'a>,
}

/// Physics of all beds, nights and covers, and the problem that follows; `told` is called with the beds that are done, and of how
/// many.
///
/// # Errors
/// As [`crate::tonight()`].
pub fn simulate(
    question: &Question<'_>,
    settings: Settings,
    told: &(dyn Fn(usize, usize) + Sync),
) -> Result<SimulatedNights, Error> {
    let Question { garden, state, forecast, past, asked_at, learned } = *question;
    let night = coming_night(garden, forecast, past, asked_at)?;
    let simulations = night.beds(garden, state, forecast.wind_height_m);
    let weather = weather::nights(garden, forecast, night, asked_at, settings, &learned);
    // Beds alike in all but name and place go the same way.
    let plain = |bed: &Bed| Bed { name: String::new(), position_m: None, ..bed.clone() };
    let plain: Vec<Bed> = garden.beds.iter().map(plain).collect();
    let alike = |a: usize, b: usize| plain[a] == plain[b] && state.beds.get(a) == state.beds.get(b);
    let first = |b: usize| (0..b).find(|a| alike(*a, b)).unwrap_or(b);
    let first: Vec<usize> = (0..simulations.len()).map(first).collect();
    let kinds = first.iter().enumerate().filter(|(b, first)| b == *first).count();
    let done = AtomicUsize::new(0);
    let each: Vec<Option<Arc<BedCourses>>> = simulations
        .par_iter()
        .enumerate()
        .map(|(b, simulation)| {
            let courses = || {
                bed::courses(garden, simulation, &weather, &learned)
                    .inspect(|_| told(done.fetch_add(1, Ordering::Relaxed) + 1, kinds))
            };
            (first[b] == b).then(courses).transpose().map(|c| c.map(Arc::new))
        })
        .collect::<Result<_, _>>()?;
    let beds: Vec<Arc<BedCourses>> = first.iter().filter_map(|b| each[*b].clone()).collect();
    let losses = beds.iter().map(|b| &b.losses);
    let errors: Vec<_> = weather.nights.iter().map(|n| n.error.clone()).collect();
    let problem = problem::problem(garden, losses, &Courses::new(&errors));
    Ok(SimulatedNights { weather, beds, problem })
}

/// The plan of the nights that the forecast reaches, at most seven, from the garden as it lies; `told` as for [`simulate`].
///
/// # Errors
/// As [`crate::tonight()`]; [`Error::Plan`] too where more is said to lie than there is.
pub fn plan(
    question: &Question<'_>,
    settings: Settings,
    told: &(dyn Fn(usize, usize) + Sync),
) -> Result<WeekReport, Error> {
    let Question { garden, asked_at, .. } = *question;
    let simulated = simulate(question, settings, told)?;
    let SimulatedNights { weather, beds, problem } = &simulated;
    let found = horizon::plan(problem, settings.planner, &Microlp)?;
    let course = as_forecast(problem, &found, &Microlp)?;
    let short = shortages::short(garden, problem, &found, settings.planner)?;
    let mut doubts = weather.doubts.clone();
    for (bed, courses) in garden.beds.iter().zip(beds).filter(|b| b.1.unknown_cover) {
        let options = courses.losses.options.len();
        doubts.push(format!(
            "What lies on {} fits none of its covers ({options} tried); it is counted as open.",
            bed.name
        ));
    }
    let left_alone = beds.iter().map(|b| left_alone(b)).sum();
    Ok(WeekReport {
        garden: garden.name.clone(),
        units: garden.units,
        zone: garden.zone.clone(),
        asked_at,
        nights: weather.nights.iter().map(|n| n.ahead).collect(),
        beds: garden
            .beds
            .iter()
            .zip(beds)
            .enumerate()
            .map(|(i, (bed, courses))| {
                let lies =
                    |s: &Vec<usize>| problem::what_lies(&problem.beds[i], &courses.losses, s[i]);
                let course: Vec<usize> = course.iter().map(lies).collect();
                bed_week(&bed.name, courses, &course)
            })
            .collect(),
        minutes_available: f64::from(problem.decisions[0].seconds) / 60.0,
        short,
        proof: WeekProof {
            cost: found.worth.cost,
            standard_error: found.worth.standard_error,
            bound: found.bound,
            gap: found.gap(),
            left_alone,
            courses: found.worth.courses,
        },
        doubts,
    })
}

/// The states of the beds after each decision, should the forecast come true: what the plan does at the middle nodes.
fn as_forecast(
    problem: &Problem,
    found: &SeveralNights,
    solver: &dyn Solver,
) -> Result<Vec<Vec<usize>>, Error> {
    let mut states: Vec<usize> = problem.beds.iter().map(|b| b.start).collect();
    let mut out = Vec::new();
    for (t, decision) in problem.decisions.iter().enumerate() {
        let node = middle(t);
        let moves = if t == 0 {
            found.now.clone()
        } else {
            repair::decide(problem, &found.dual, (t, node), &states, solver)?.moves
        };
        let after: Vec<usize> = problem
            .beds
            .iter()
            .zip(&moves)
            .map(|(bed, m)| bed.moves(decision.part)[*m].to)
            .collect();
        let next = problem.lattice.nodes(t + 1);
        if next > 0 {
            let found = problem.beds.iter().zip(&after);
            states = found.map(|(bed, s)| bed.found(t, *s, next, middle(t + 1))).collect();
        }
        out.push(after);
    }
    Ok(out)
}

/// The node of a decision at which the forecast comes true.
fn middle(decision: usize) -> usize {
    match decision {
        0 => 0,
        t if t.is_multiple_of(2) => courses::MIDDLE.0,
        _ => courses::MIDDLE.1,
    }
}

/// `course` is what lies after each decision.
fn bed_week(name: &str, bed: &BedCourses, course: &[usize]) -> BedWeek {
    let losses = &bed.losses;
    let mut at = losses.start;
    let mut nights = Vec::new();
    for t in 0..bed.laid.len() {
        let night = course[2 * t];
        let day = course.get(2 * t + 1).copied().unwrap_or(night);
        let minutes = |a: usize, b: usize| {
            f64::from(lies::seconds(losses.lies[a], losses.lies[b], &losses.options)) / 60.0
        };
        let with = bed.outcome(t, at, night);
        let open = &bed.laid[t][0];
        nights.push(BedNight {
            night: losses.lies[night],
            day: losses.lies[day],
            evening_minutes: minutes(at, night),
            morning_minutes: minutes(night, day),
            chance: with.chance_of_harm,
            chance_open: open.chance_of_harm,
            loss: with.expected_loss,
            loss_open: open.expected_loss,
        });
        at = day;
    }
    BedWeek {
        bed: name.to_owned(),
        options: losses.options.clone(),
        now: losses.lies[losses.start],
        at_risk: losses.worth > 0.0,
        nights,
    }
}

/// Expected loss of a bed when it is left as it lies through all nights, money: at least that of its worst night.
fn left_alone(bed: &BedCourses) -> f64 {
    let start = bed.losses.start;
    let nights = (0..bed.laid.len()).map(|t| bed.outcome(t, start, start));
    let lost = nights.map(|o| o.expected_loss).fold(0.0, f64::max);
    lost + bed.losses.days.iter().map(|d| d[start]).sum::<f64>()
}
