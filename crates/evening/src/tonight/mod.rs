//! The evening, whole and in order: weather, possible nights, every cover on every bed, the plan, the report.
//!
//! | module | holds |
//! |---|---|
//! | [`mod@coming_night`] | the night before any bed: times, weather, the days before |
//! | [`night_times`] | when the night begins and ends |
//! | [`soil_spin_up`] | the days before, which bring the soil to its temperature |
//! | [`bed_nights`] | every night of one bed |
//! | [`taught_cover`] | a cover's nights, moved to what readings under it have taught |
//! | [`lying`] | what lies on a bed as physics, and the minutes to change it |
//! | [`before_dark`] | the plan in what light is left, and what of the rest is worth a lamp |
//! | [`choices`], [`reasons`] | what the planner chooses from, and why it chose so |
//! | [`work`], [`short_lists`] | what to do before dark, and with less time |
//! | [`morning`] | what to open tomorrow, and by when |
//! | [`without_cloth`] | watering, picking, carrying pots in |
//! | [`weather_summary`] | what the weather says and lacks |

mod bed_nights;
mod before_dark;
mod choices;
pub(crate) mod coming_night;
mod lying;
mod morning;
pub(crate) mod night_times;
mod reasons;
mod short_lists;
mod soil_spin_up;
mod taught_cover;
mod weather_summary;
mod without_cloth;
mod work;

use garden::fit::Cover as Fit;
use garden::garden::Garden;
use garden::lying::GardenState;
use microclimate::lanes::WIDTH;
use milp::Microlp;
use quantities::Moment;
use rayon::prelude::*;
use weather::Forecast;

use crate::constants::{DARK_TIMES, WALK_MINUTES};
use crate::ensemble::Ensemble;
use crate::error::Error;
use crate::learned::Learned;
use crate::night::BedSimulation;
use crate::plan::greedy;
use crate::report::{Action, BedReport, MorningAction, Proof, Report, Task, TemperatureSeries};
use crate::steps::{at_step, hours};
use crate::warnings::{self, Threat};
use bed_nights::BedNights;
use coming_night::{ComingNight, coming_night};
pub use lying::BedCovers;

/// How the nights are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Possible nights, rounded up to a multiple of sixteen.
    pub nights: usize,
    /// Seed of the draw.
    pub seed: u64,
}

impl Default for Settings {
    fn default() -> Self {
        Self { nights: 200, seed: 1 }
    }
}

/// What to do at `asked_at` for a garden as it lies, with `past` the hours before where they are known.
///
/// # Errors
/// [`Error`]; [`quantities::Fault::is_bug`] tells ours from what the grower can mend.
pub fn tonight(
    garden: &Garden,
    state: &GardenState,
    forecast: &Forecast,
    past: Option<&Forecast>,
    asked_at: Moment,
    settings: Settings,
) -> Result<Report, Error> {
    tonight_knowing(garden, state, forecast, past, asked_at, settings, &Learned::default())
}

/// The same with what is known of this garden beyond its forecast: lessons of past nights, readings of this evening.
///
/// # Errors
/// As [`tonight`].
pub fn tonight_knowing(
    garden: &Garden,
    state: &GardenState,
    forecast: &Forecast,
    past: Option<&Forecast>,
    asked_at: Moment,
    settings: Settings,
    learned: &Learned<'_>,
) -> Result<Report, Error> {
    let night = coming_night(garden, forecast, past, asked_at)?;
    let ComingNight { hours: all_hours, sun: sun_times, steps, sky, before, .. } = night;
    let (soil_sigma_k, doubts) = (night.soil_sigma_k, night.doubts);
    let end = at_step(steps.start, steps.end);
    let ensemble = Ensemble::draw_knowing(
        &sky,
        forecast,
        &garden.site,
        (steps.start, steps.end),
        (settings.nights.clamp(WIDTH, 4000), settings.seed),
        learned,
    );
    let lies_on = |b: usize| state.beds.get(b).map_or(&[][..], Vec::as_slice);
    let mut simulations: Vec<BedSimulation<'_>> = garden
        .beds
        .iter()
        .enumerate()
        .map(|(b, bed)| {
            BedSimulation::new(garden, bed, lies_on(b), forecast.wind_height_m).after(&night.memory)
        })
        .collect();
    let sunrise_today = if night_times::sun_is_up(garden, asked_at)? {
        Some(night_times::this_day(garden, asked_at)?.1)
    } else {
        None
    };
    let today = match sunrise_today {
        Some(_) => morning::today(garden, &simulations, &all_hours, asked_at, sun_times.sunset)?,
        None => Vec::new(),
    };
    for task in &today {
        let off = task.action == MorningAction::TakeOff;
        simulations[task.bed].lies.open_at(task.by.max(asked_at), off);
    }
    let nights: Vec<BedNights> = simulations
        .par_iter()
        .map(|t| bed_nights::simulate(garden, t, &ensemble, &before, soil_sigma_k, &steps, learned))
        .collect::<Result<_, _>>()?;
    let driver = weather_summary::driver(&sky, &steps);
    let by_lamp = sunrise_today.is_none() && asked_at >= sun_times.dark;
    let times = if by_lamp { DARK_TIMES } else { 1.0 };
    let mut beds: Vec<BedReport> = simulations
        .iter()
        .zip(&nights)
        .enumerate()
        .map(|(b, (t, n))| bed_nights::bed_report(t, n, &steps, lies_on(b), times))
        .collect();

    let problem = choices::problem(garden, &simulations, &beds, times);
    let light_s = if by_lamp { i64::MAX } else { sun_times.dark.0 - asked_at.0 };
    let staged = before_dark::plan(&problem, &Microlp, garden.labour.people, light_s)?;
    let plan = &staged.whole;
    for (bed, choice) in beds.iter_mut().zip(&plan.choice) {
        bed.chosen = choice.checked_sub(1).filter(|c| *c < bed.options.len());
        bed.takes_off = *choice > bed.options.len();
    }
    let dusk = at_step(steps.start, steps.watched);
    for (bed, n) in beds.iter_mut().zip(&nights) {
        let cold = bed.chosen.and_then(|c| n.covered.get(c));
        let cold = cold.or(n.bare.as_ref().filter(|_| bed.takes_off));
        bed.covered_temperatures =
            cold.map(|c| TemperatureSeries::from_members(dusk, &c.half_hours));
    }
    reasons::give_reasons(&mut beds, garden, &problem, driver);
    let hours_of = |from, by_lamp| work::Hours { sun: &sun_times, from, by_lamp, sky: &sky };
    let first = work::changes(&problem, &beds, &staged.first.choice, WALK_MINUTES);
    let (work, start_by) = work::in_order(garden, &beds, &first, &hours_of(asked_at, by_lamp));
    let rest = work::changes(&staged.lamp_problem, &beds, &staged.lamp.choice, WALK_MINUTES);
    let lamp_from = work.iter().map(|t| t.by).max().unwrap_or(asked_at).max(sun_times.dark);
    let (lamp_work, _) = work::in_order(garden, &beds, &rest, &hours_of(lamp_from, true));
    let short_lists = short_lists::short_lists(&problem, &Microlp, plan)?;
    let weather = weather_summary::summary(forecast, &sky, &steps, &ensemble, doubts, settings);
    let morning = morning::tasks(
        garden,
        &simulations,
        &nights,
        &beds,
        &sky,
        &forecast.hours,
        &steps,
        &sun_times,
    )?;
    let over = |(b, s): (&'_ BedReport, &BedSimulation<'_>)| -> Option<Fit> {
        let lies = || s.lies.main.as_ref().filter(|l| l.against_cold()).map(|l| l.cover.clone());
        match b.chosen {
            Some(c) => b.options.get(c).map(|o| o.cover.clone()),
            None => lies().filter(|_| b.lies_at_night && !b.takes_off),
        }
    };
    let over: Vec<Option<Fit>> = beds.iter().zip(&simulations).map(over).collect();
    let covered: Vec<_> =
        garden.beds.iter().zip(&over).filter_map(|(g, c)| Some((g, c.as_ref()?))).collect();
    let night = asked_at..end;
    let threat = Threat::from_hours(weather.gust_m_s, &forecast.hours, &night);
    let warnings = warnings::for_covered_beds(garden, &covered, &threat)?;
    let evening = without_cloth::Evening {
        garden,
        ensemble: &ensemble,
        before: &before,
        soil_sigma_k,
        steps: &steps,
        sun: &sun_times,
        sunrise_today,
        asked_at,
    };
    let without_cloth = without_cloth::handwork(&evening, &simulations, &nights, &beds)?;
    let runs: usize = nights.iter().map(|n| n.runs).sum();
    let proof = Proof {
        plan_cost: plan.cost,
        do_nothing_cost: greedy::nothing(&problem).cost,
        greedy_cost: greedy::plan(&problem).cost,
        gap: plan.gap,
        worst_residual_w_m2: nights.iter().map(|n| n.residual).fold(0.0, f64::max),
        bed_hours: runs as f64 * hours(steps.end - steps.cover) * ensemble.members() as f64,
    };
    let moved = |b: usize| {
        let moves = |t: &Task| t.bed == b && t.action != Action::Lay;
        today.iter().any(|t| t.bed == b) || work.iter().chain(&lamp_work).any(moves)
    };
    let stays = (0..beds.len()).filter(|b| !beds[*b].lies.is_empty() && !moved(*b)).collect();
    Ok(Report {
        garden: garden.name.clone(),
        units: garden.units,
        zone: garden.zone.clone(),
        asked_at,
        phase: night_times::phase(&sun_times, sunrise_today, asked_at),
        sun: sun_times,
        contradictions: state.contradictions.clone(),
        today,
        stays,
        start_by,
        by_lamp: lamp_work,
        weather,
        beds,
        minutes_needed: work.iter().map(|w| w.minutes + w.walk_minutes).sum(),
        work,
        minutes_available: f64::from(problem.seconds) / 60.0,
        short_lists,
        without_cloth,
        morning,
        warnings,
        proof,
    })
}
