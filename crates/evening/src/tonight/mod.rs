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
//! | [`morning`] | what to open tomorrow or today, and by when |
//! | [`opening`] | left, ends open, to one side or off: what each costs by day |
//! | [`without_cloth`], [`with_handwork`] | watering, picking, carrying pots in; the same as choices of the plan |
//! | [`weather_summary`] | what the weather says and lacks |

mod bed_nights;
mod before_dark;
mod choices;
pub(crate) mod coming_night;
mod lying;
mod morning;
pub(crate) mod night_times;
mod opening;
mod reasons;
mod short_lists;
mod soil_spin_up;
pub(crate) mod taught_cover;
mod weather_summary;
mod with_handwork;
mod without_cloth;
mod work;

use garden::fit::Cover as Fit;
use garden::garden::Garden;
use garden::lying::{GardenState, Opening};
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
use crate::plan::{Problem, greedy};
use crate::report::{Action, BedReport, Proof, Report, Task, TemperatureSeries};
use crate::steps::{at_step, hours};
use crate::warnings::{self, Threat};
use bed_nights::BedNights;
use coming_night::{ComingNight, coming_night};
pub use lying::BedCovers;
use opening::NightAfter;
use with_handwork::WithHandwork;

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
    let mut simulations = night.beds(garden, state, forecast.wind_height_m);
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
    let sunrise_today = if night_times::sun_is_up(garden, asked_at)? {
        Some(night_times::this_day(garden, asked_at)?.1)
    } else {
        None
    };
    let today = match sunrise_today {
        Some(_) => {
            let now = (asked_at, sun_times.sunset);
            let night = NightAfter { ensemble: &ensemble, steps: &steps, soil_sigma_k };
            morning::today(garden, &simulations, &all_hours, now, night)?
        }
        None => Vec::new(),
    };
    for task in &today {
        let lies = &mut simulations[task.bed].lies;
        let opening = lies.main.as_ref().map_or(Opening::Shut, |l| l.opening);
        lies.open_at(task.by.max(asked_at), opening::opening_after(task.action, opening));
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
    let people = garden.labour.people;
    let covers_alone = before_dark::plan(&problem, &Microlp, people, light_s, |_, _| true)?;
    choose(&mut beds, &covers_alone.whole.choice);
    let evening = without_cloth::Evening {
        garden,
        ensemble: &ensemble,
        before: &before,
        soil_sigma_k,
        steps: &steps,
        sun: &sun_times,
        sunrise_today,
        asked_at,
        times,
    };
    let offered = without_cloth::offered(&evening, &simulations, &nights, &beds)?;
    let joint = WithHandwork::new(&problem, &covers_alone.whole.choice, &offered);
    let staged = if offered.is_empty() {
        covers_alone
    } else {
        let may = |b, c| joint.by_lamp(b, c);
        before_dark::plan(&joint.problem, &Microlp, people, light_s, may)?
    };
    let plan = &staged.whole;
    choose(&mut beds, &joint.apart(&plan.choice).0);
    let dusk = at_step(steps.start, steps.watched);
    for (bed, n) in beds.iter_mut().zip(&nights) {
        let cold = bed.chosen.and_then(|c| n.covered.get(c));
        let cold = cold.or(n.bare.as_ref().filter(|_| bed.takes_off));
        bed.covered_temperatures =
            cold.map(|c| TemperatureSeries::from_members(dusk, &c.half_hours));
    }
    let done = joint.apart(&plan.choice).1;
    let carries = |n: &usize| offered[*n].measure.is_carrying();
    let carried: Vec<usize> = done.iter().filter(|n| carries(n)).map(|n| offered[*n].bed).collect();
    reasons::give_reasons(&mut beds, garden, &problem, driver, &carried);
    let hours_of = |from, by_lamp| work::Hours { sun: &sun_times, from, by_lamp, sky: &sky };
    let in_order = |problem: &Problem, choice: &[usize], hours: &work::Hours<'_>| {
        let (covers, by_hand) = joint.apart(choice);
        let by_hand: Vec<usize> = by_hand.into_iter().filter(carries).collect();
        let mut changes = work::changes(problem, &beds, &covers, WALK_MINUTES);
        changes.extend(work::by_hand(&offered, &by_hand));
        work::in_order(garden, &beds, &offered, &changes, hours)
    };
    let first = in_order(&problem, &staged.first.choice, &hours_of(asked_at, by_lamp));
    let lasts = first.tasks.iter().map(|t| t.by).chain(first.handwork.iter().map(|h| h.by));
    let lamp_from = lasts.max().unwrap_or(asked_at).max(sun_times.dark);
    let rest = in_order(&staged.lamp_problem, &staged.lamp.choice, &hours_of(lamp_from, true));
    // Watering is done before the evening's work begins.
    let watering: Vec<usize> = done.iter().filter(|n| !carries(n)).copied().collect();
    let watering: Vec<_> = work::by_hand(&offered, &watering).collect();
    let watering = work::in_order(garden, &beds, &offered, &watering, &hours_of(asked_at, by_lamp));
    let minutes_needed = first.tasks.iter().map(|t| t.minutes + t.walk_minutes).sum::<f64>()
        + first.handwork.iter().map(|h| h.minutes + h.walk_minutes).sum::<f64>();
    let mut without_cloth = without_cloth::picked(&evening, &simulations, &beds);
    for part in [&first, &rest, &watering] {
        without_cloth.extend(&part.handwork);
    }
    let wage = garden.labour.worth_of_hour / 60.0;
    without_cloth.retain(|h| h.saves > wage * h.minutes);
    without_cloth.sort_by(|a, b| b.saves.total_cmp(&a.saves).then(a.bed.cmp(&b.bed)));
    let (work, lamp_work, start_by) = (first.tasks, rest.tasks, first.start_by);
    let short_lists = short_lists::short_lists(&joint.problem, &Microlp, plan)?;
    let weather = weather_summary::summary(
        forecast,
        &sky,
        (&steps, sun_times.sunset),
        &ensemble,
        doubts,
        settings,
    );
    let morning = morning::Morning {
        garden,
        forecast,
        hours: &all_hours,
        learned,
        steps: &steps,
        sun: &sun_times,
        soil_sigma_k,
        seed: settings.seed,
    };
    let morning = morning.tasks(&simulations, &nights, &beds)?;
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
    let runs: usize = nights.iter().map(|n| n.runs).sum();
    let proof = Proof {
        plan_cost: plan.cost,
        do_nothing_cost: greedy::nothing(&joint.problem).cost,
        greedy_cost: greedy::plan(&joint.problem).cost,
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
        minutes_needed,
        work,
        minutes_available: f64::from(problem.seconds) / 60.0,
        short_lists,
        without_cloth,
        morning,
        warnings,
        proof,
    })
}

/// Takes over the covers of a plan: 0 as it lies, then the options, then taken off.
fn choose(beds: &mut [BedReport], covers: &[usize]) {
    for (bed, choice) in beds.iter_mut().zip(covers) {
        bed.chosen = choice.checked_sub(1).filter(|c| *c < bed.options.len());
        bed.takes_off = *choice > bed.options.len();
    }
}
