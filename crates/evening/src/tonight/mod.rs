//! The evening, whole and in order: weather, possible nights, every cover on every bed, the plan, the report.
//!
//! | module | holds |
//! |---|---|
//! | [`night_times`] | when the night begins and ends |
//! | [`soil_spin_up`] | the days before, which bring the soil to its temperature |
//! | [`bed_nights`] | every night of one bed |
//! | [`choices`], [`reasons`] | what the planner chooses from, and why it chose so |
//! | [`work`], [`short_lists`] | what to do before dark, and with less time |
//! | [`morning`] | what to open tomorrow, and by when |
//! | [`weather_summary`] | what the weather says and lacks |

mod bed_nights;
mod choices;
mod morning;
pub(crate) mod night_times;
mod reasons;
mod short_lists;
pub(crate) mod soil_spin_up;
mod weather_summary;
mod work;

use garden::garden::Garden;
use microclimate::lanes::WIDTH;
use milp::Microlp;
use quantities::{Moment, WeatherHour};
use rayon::prelude::*;
use weather::Forecast;

use crate::constants::LONGEST_GAP_H;
use crate::ensemble::{Ensemble, ForecastSeries};
use crate::error::Error;
use crate::night::BedSimulation;
use crate::plan::{best, greedy};
use crate::report::{BedReport, Proof, Report, TemperatureSeries};
use crate::steps::{at_step, hours};
use crate::warnings::{self, Threat};
use bed_nights::BedNights;

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

/// Tonight's plan for a garden asked at `asked_at`, with `past` the hours before where they are known.
///
/// # Errors
/// [`Error`]; [`quantities::Fault::is_bug`] tells ours from what the grower can mend.
pub fn tonight(
    garden: &Garden,
    forecast: &Forecast,
    past: Option<&Forecast>,
    asked_at: Moment,
    settings: Settings,
) -> Result<Report, Error> {
    let (sun_times, steps) = night_times::times(garden, asked_at)?;
    night_times::reaches(forecast, asked_at, &steps)?;
    let end = at_step(steps.start, steps.end);
    let sky = ForecastSeries::for_night(&forecast.hours, garden.place, asked_at, end);
    let gap = sky.air().longest_gap_h(asked_at, end);
    if gap > LONGEST_GAP_H {
        return Err(Error::TemperatureGap { hours: gap });
    }
    let mut doubts = sky.notices();
    let all_hours = past_and_forecast(forecast, past, asked_at);
    let before = ForecastSeries::new(&all_hours, garden.place);
    let (before, soil_sigma_k) =
        soil_spin_up::days_before(&before, &all_hours, asked_at, garden.units, &mut doubts);
    let ensemble = Ensemble::draw(
        &sky,
        forecast,
        &garden.site,
        asked_at,
        steps.end,
        settings.nights.clamp(WIDTH, 4000),
        settings.seed,
    );
    let simulations: Vec<BedSimulation<'_>> =
        garden.beds.iter().map(|b| BedSimulation::new(garden, b, forecast.wind_height_m)).collect();
    let nights: Vec<BedNights> = simulations
        .par_iter()
        .map(|t| bed_nights::simulate(garden, t, &ensemble, &before, soil_sigma_k, &steps))
        .collect::<Result<_, _>>()?;
    let driver = weather_summary::driver(&sky, &steps);
    let mut beds: Vec<BedReport> = simulations
        .iter()
        .zip(&nights)
        .map(|(t, n)| bed_nights::bed_report(t, n, &steps))
        .collect();

    let problem = choices::problem(garden, &beds);
    let plan = best(&problem, &Microlp)?;
    for (bed, choice) in beds.iter_mut().zip(&plan.choice) {
        bed.chosen = choice.checked_sub(1);
    }
    let dusk = at_step(steps.start, steps.cover);
    for (bed, n) in beds.iter_mut().zip(&nights) {
        let cold = bed.chosen.and_then(|c| n.covered.get(c));
        bed.covered_temperatures =
            cold.map(|c| TemperatureSeries::from_members(dusk, &c.half_hours));
    }
    reasons::give_reasons(&mut beds, garden, &problem, driver);
    let work = work::in_order(garden, &beds, &sun_times, asked_at);
    let short_lists = short_lists::short_lists(&problem, &Microlp, &plan)?;
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
    let covered: Vec<_> = garden
        .beds
        .iter()
        .zip(&beds)
        .filter_map(|(g, b)| Some((g, &b.options.get(b.chosen?)?.cover)))
        .collect();
    let night = asked_at..end;
    let threat = Threat::from_hours(weather.gust_m_s, &forecast.hours, &night);
    let warnings = warnings::for_covered_beds(garden, &covered, &threat)?;
    let runs: usize = nights.iter().map(|n| n.runs).sum();
    let proof = Proof {
        plan_cost: plan.cost,
        do_nothing_cost: greedy::nothing(&problem).cost,
        greedy_cost: greedy::plan(&problem).cost,
        gap: plan.gap,
        worst_residual_w_m2: nights.iter().map(|n| n.residual).fold(0.0, f64::max),
        bed_hours: runs as f64 * hours(steps.end - steps.cover) * ensemble.members() as f64,
    };
    Ok(Report {
        garden: garden.name.clone(),
        units: garden.units,
        zone: garden.zone.clone(),
        asked_at,
        sun: sun_times,
        weather,
        beds,
        minutes_needed: work.iter().map(|w| w.minutes + w.walk_minutes).sum(),
        work,
        minutes_available: f64::from(problem.seconds) / 60.0,
        short_lists,
        morning,
        warnings,
        proof,
    })
}

/// The hours before the forecast, where they are known, and the forecast.
pub(crate) fn past_and_forecast(
    forecast: &Forecast,
    past: Option<&Forecast>,
    asked_at: Moment,
) -> Vec<WeatherHour> {
    let first = forecast.hours.first().map_or(asked_at, |h| h.interval.start);
    let mut hours = past.map(|p| p.hours.clone()).unwrap_or_default();
    hours.retain(|h| h.interval.end <= first);
    hours.extend_from_slice(&forecast.hours);
    hours
}
