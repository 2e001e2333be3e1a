//! The evening, whole and in order: weather, possible nights, every cover on every bed, the plan, the report.

use garden::fit::Cover as Fit;
use garden::garden::Garden;
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::real::Real;
use microclimate::{Forcing, State, parameters::STEP_S, sun};
use quantities::{Interval, Moment, UnitSystem};
use rayon::prelude::*;
use weather::Forecast;

use crate::ensemble::{Ensemble, ForecastSeries, at_step};
use crate::error::{Error, LONGEST_GAP_H};
use crate::morning;
use crate::night::{BedSimulation, Coldest, NightSteps, STEPS_A_HALF_HOUR, course, hours, spread};
use crate::physics;
use crate::plan::route::{Job, order};
use crate::plan::stock;
use crate::plan::{Choice, Plan, Problem, best, greedy, short_lists};
use crate::priors;
use crate::report::{
    BedReport, Driver, MorningTask, OptionReport, Proof, Reason, Report, ShortList, SunTimes, Task,
    WeatherSummary,
};
use crate::warnings::{self, Threat};
use milp::{Microlp, Solver};

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

/// Days of weather before the question that bring the soil to its temperature.
const SPIN_UP_DAYS: i64 = 10;
/// Doubt about the soil's warmth when the days before are known, and when they are not, K (from memory).
const SOIL_SIGMA_KNOWN_K: f64 = 0.7;
const SOIL_SIGMA_GUESSED_K: f64 = 2.0;
/// The night's books close this long after sunrise, s.
const AFTER_SUNRISE_S: i64 = 2 * 3600;
/// Work is timed to be done this long before the tissue reaches its limit, s.
const AHEAD_S: i64 = 1800;

/// Tonight's plan for a garden asked at `asked_at`, with `past` the hours before where they are known.
///
/// # Errors
/// [`Error`]; [`Error::is_bug`] tells ours from what the grower can mend.
pub fn tonight(
    garden: &Garden,
    forecast: &Forecast,
    past: Option<&Forecast>,
    asked_at: Moment,
    settings: Settings,
) -> Result<Report, Error> {
    let (sun_times, steps) = times(garden, asked_at)?;
    reaches(forecast, asked_at, &steps)?;
    let mut all_hours = past.map(|p| p.hours.clone()).unwrap_or_default();
    let first = forecast.hours.first().map_or(asked_at, |h| h.interval.start);
    all_hours.retain(|h| h.interval.end <= first);
    all_hours.extend_from_slice(&forecast.hours);
    let end = at_step(steps.start, steps.end);
    let sky = ForecastSeries::of_night(&forecast.hours, garden.place, asked_at, end);
    let gap = sky.air().longest_gap_h(asked_at, end);
    if gap > LONGEST_GAP_H {
        return Err(Error::TemperatureGap { hours: gap });
    }
    let mut doubts = sky.notices();
    let history = ForecastSeries::new(&all_hours, garden.place);
    let (before, soil_sigma_k) =
        days_before(&history, &all_hours, asked_at, garden.units, &mut doubts);
    let ensemble = Ensemble::draw(
        &sky,
        forecast,
        &garden.site,
        asked_at,
        steps.end,
        settings.nights.clamp(8, 4000),
        settings.seed,
    );
    let simulations: Vec<BedSimulation<'_>> =
        garden.beds.iter().map(|b| BedSimulation::new(garden, b, forecast.wind_height_m)).collect();
    let nights: Vec<BedNights> = simulations
        .par_iter()
        .map(|t| bed_nights(garden, t, &ensemble, &before, soil_sigma_k, &steps))
        .collect::<Result<_, _>>()?;
    let driver = driver(&sky, &steps);
    let mut beds: Vec<BedReport> =
        simulations.iter().zip(&nights).map(|(t, n)| bed_report(t, n, &steps)).collect();

    let problem = problem(garden, &beds);
    let plan = best(&problem, &Microlp)?;
    for (bed, choice) in beds.iter_mut().zip(&plan.choice) {
        bed.chosen = choice.checked_sub(1);
    }
    for (bed, n) in beds.iter_mut().zip(&nights) {
        let cold = bed.chosen.and_then(|c| n.covered.get(c));
        bed.covered_course = cold.map(|c| course(at_step(steps.start, steps.cover), &c.half_hours));
    }
    give_reasons(&mut beds, garden, &problem, driver);
    let work = work(garden, &beds, &sun_times, asked_at);
    let short = short(&problem, &Microlp, &plan)?;
    let weather = summary(forecast, &sky, &steps, &ensemble, doubts, settings);
    let morning =
        mornings(garden, &simulations, &nights, &beds, &sky, &forecast.hours, &steps, &sun_times)?;
    let covered: Vec<_> = garden
        .beds
        .iter()
        .zip(&beds)
        .filter_map(|(g, b)| Some((g, &b.options.get(b.chosen?)?.cover)))
        .collect();
    let night = steps.start..at_step(steps.start, steps.end);
    let threat = Threat::of(weather.gust_m_s, &forecast.hours, &night);
    let warnings = warnings::of(garden, &covered, &threat)?;
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
        short_lists: short,
        morning,
        warnings,
        proof,
    })
}

/// Sunset, dark and sunrise around the question, and the steps of the night. Asked after sunset, covers go on in a quarter of an hour.
fn times(garden: &Garden, asked_at: Moment) -> Result<(SunTimes, NightSteps), Error> {
    let place = &garden.place;
    let cross = |from, altitude, falling| {
        sun::next_crossing(place, from, altitude, falling).ok_or(Error::NoNight)
    };
    let up = sun::position(place, asked_at).ok_or(Error::NoNight)?.zenith_deg
        < 90.0 - sun::RISE_ALTITUDE_DEG;
    let sunset = if up {
        cross(asked_at, sun::RISE_ALTITUDE_DEG, true)?
    } else {
        cross(asked_at.plus_seconds(-16 * 3600), sun::RISE_ALTITUDE_DEG, true)?
    };
    let dark = cross(sunset, sun::DARK_ALTITUDE_DEG, true)?;
    let sunrise = cross(sunset.max(asked_at), sun::RISE_ALTITUDE_DEG, false)?;
    let laid = sunset.max(asked_at.plus_seconds(900));
    let steps = NightSteps {
        start: asked_at,
        cover: morning::steps_between(asked_at, laid),
        end: morning::steps_between(asked_at, sunrise.plus_seconds(AFTER_SUNRISE_S)),
    };
    Ok((SunTimes { sunset, dark, sunrise }, steps))
}

fn reaches(forecast: &Forecast, asked_at: Moment, steps: &NightSteps) -> Result<(), Error> {
    let (Some(first), Some(last)) = (forecast.hours.first(), forecast.hours.last()) else {
        return Err(Error::ForecastTooShort { from: 0.0, to: 0.0, needed: hours(steps.end) });
    };
    let from = first.interval.start.hours_since(asked_at);
    let to = last.interval.end.hours_since(asked_at);
    if from > 2.0 || to < hours(steps.end) - 1.0 {
        let round = |x: f64| (x * 10.0).round() / 10.0;
        return Err(Error::ForecastTooShort {
            from: round(from),
            to: round(to),
            needed: hours(steps.end),
        });
    }
    Ok(())
}

/// Weather of the ten days before, where known; else the first day of the forecast over and over, and more doubt.
fn days_before(
    sky: &ForecastSeries,
    all: &[quantities::WeatherHour],
    asked_at: Moment,
    units: UnitSystem,
    doubts: &mut Vec<String>,
) -> (Vec<Forcing<Lanes>>, f64) {
    let day = 86_400;
    let known = all.first().map_or(0.0, |h| asked_at.hours_since(h.interval.start));
    if known >= 24.0 {
        let whole_days = ((known / 24.0).floor() as i64).min(SPIN_UP_DAYS);
        if whole_days < SPIN_UP_DAYS {
            doubts.push(format!("Only {whole_days} days before tonight are known; the soil's warmth is less certain."));
        }
        let steps = (day * whole_days) as usize / STEP_S as usize;
        let share = whole_days as f64 / SPIN_UP_DAYS as f64;
        let sigma = SOIL_SIGMA_GUESSED_K + (SOIL_SIGMA_KNOWN_K - SOIL_SIGMA_GUESSED_K) * share;
        return (Ensemble::plain(sky, asked_at.plus_seconds(-day * whole_days), steps), sigma);
    }
    let doubt = if units == UnitSystem::Us { "4 °F" } else { "2 °C" };
    doubts.push(format!(
        "The days before tonight are not known: the soil is taken as after days like the first of the forecast, give or take {doubt}."
    ));
    let one = Ensemble::plain(sky, asked_at, day as usize / STEP_S as usize);
    let days: Vec<Forcing<Lanes>> = (0..5).flat_map(|_| one.iter().copied()).collect();
    (days, SOIL_SIGMA_GUESSED_K)
}

/// Every night of one bed.
struct BedNights {
    evening: Vec<State<Lanes>>,
    open: Coldest,
    covered: Vec<Coldest>,
    residual: f64,
    runs: usize,
}

fn bed_nights(
    garden: &Garden,
    simulation: &BedSimulation<'_>,
    ensemble: &Ensemble,
    before: &[Forcing<Lanes>],
    soil_sigma_k: f64,
    steps: &NightSteps,
) -> Result<BedNights, Error> {
    let spun = simulation.spin_up(garden, before)?;
    let evening = simulation.evening(garden, ensemble, &spun, soil_sigma_k, steps)?;
    let open = simulation.night(garden, ensemble, &evening, None, steps)?;
    let covers: Vec<_> =
        simulation.fits.iter().map(|f| physics::cover(f, simulation.garden_bed)).collect();
    // Sheets that differ only in size make the same night: each kind of night runs once.
    let mut kinds: Vec<(&microclimate::Cover, Coldest)> = Vec::new();
    for cover in &covers {
        if !kinds.iter().any(|k| k.0 == cover) {
            kinds.push((cover, simulation.night(garden, ensemble, &evening, Some(cover), steps)?));
        }
    }
    let covered: Vec<Coldest> = covers
        .iter()
        .filter_map(|c| kinds.iter().find(|k| k.0 == c).map(|k| k.1.clone()))
        .collect();
    let residual = kinds.iter().map(|k| k.1.residual).fold(open.residual, f64::max);
    let runs = 1 + kinds.len();
    Ok(BedNights { evening, open, covered, residual, runs })
}

fn bed_report(simulation: &BedSimulation<'_>, nights: &BedNights, steps: &NightSteps) -> BedReport {
    let gain =
        |a: &[f64], b: &[f64]| spread(&a.iter().zip(b).map(|(x, y)| x - y).collect::<Vec<_>>());
    let options = simulation
        .fits
        .iter()
        .zip(&nights.covered)
        .map(|(fit, cold)| OptionReport {
            cover: fit.clone(),
            outcome: simulation.outcome(cold, steps),
            leaf_gain_k: gain(&cold.tissue, &nights.open.tissue),
            air_gain_k: gain(&cold.air, &nights.open.air),
        })
        .collect();
    let at_risk = simulation.most_at_risk(&nights.open);
    BedReport {
        bed: simulation.garden_bed.name.clone(),
        planting: at_risk.map_or_else(String::new, |s| {
            physics::words(&simulation.garden_bed.plantings[s.planting])
        }),
        limit_c: at_risk.map(|s| s.limits.t10_c),
        open: simulation.outcome(&nights.open, steps),
        chosen: None,
        options,
        reason: Reason::Bare,
        open_course: course(at_step(steps.start, steps.cover), &nights.open.half_hours),
        covered_course: None,
        in_soil: simulation.all_in_soil(),
    }
}

/// The plan's problem over the lines of the stock.
fn problem(garden: &Garden, beds: &[BedReport]) -> Problem {
    let lines = stock::lines(garden);
    let choices = |bed: &BedReport| {
        let open = Choice { expected_loss: bed.open.expected_loss, seconds: 0, uses: Vec::new() };
        std::iter::once(open)
            .chain(bed.options.iter().map(|o| Choice {
                expected_loss: o.outcome.expected_loss,
                seconds: stock::seconds(&o.cover),
                uses: stock::uses(&o.cover, &lines),
            }))
            .collect()
    };
    let labour = &garden.labour;
    Problem {
        beds: beds.iter().map(choices).collect(),
        available: lines.into_iter().map(|l| l.1).collect(),
        seconds: (60.0 * f64::from(labour.people) * labour.minutes_each) as u32,
        wage_per_minute: labour.worth_of_hour / 60.0,
    }
}

fn give_reasons(beds: &mut [BedReport], garden: &Garden, problem: &Problem, driver: Driver) {
    let wage = garden.labour.worth_of_hour / 60.0;
    for (bed, choices) in beds.iter_mut().zip(&problem.beds) {
        let open = bed.open.expected_loss;
        let saves = |c: &Choice| open - c.expected_loss;
        let cheapest =
            choices.iter().skip(1).min_by(|a, b| problem.cost(a).total_cmp(&problem.cost(b)));
        bed.reason = match (bed.limit_c, bed.chosen, cheapest) {
            (None, ..) => Reason::Bare,
            (_, Some(c), _) => Reason::Cover { saves: saves(&choices[c + 1]), driver },
            (Some(limit), None, _) if bed.open.chance_of_harm < 0.1 => {
                Reason::SafeOpen { margin_k: bed.open.leaf_low_c.p10 - limit }
            }
            (_, None, None) => Reason::NoCoverFits,
            (_, None, Some(best)) if problem.cost(best) >= open => Reason::NotWorthIt {
                saves: saves(best).max(0.0),
                costs: wage * f64::from(best.seconds) / 60.0,
            },
            _ => Reason::StockUsedElsewhere { loss: open },
        };
    }
}

fn work(garden: &Garden, beds: &[BedReport], sun: &SunTimes, asked_at: Moment) -> Vec<Task> {
    let chosen: Vec<(usize, &Fit, Moment)> = beds
        .iter()
        .enumerate()
        .filter_map(|(i, b)| {
            let cover = &b.options.get(b.chosen?)?.cover;
            let by = b.open.reaches_limit_at.map_or(sun.dark, |m| m.plus_seconds(-AHEAD_S));
            Some((i, cover, by.min(sun.dark).max(asked_at)))
        })
        .collect();
    let jobs: Vec<Job> = chosen
        .iter()
        .map(|(i, cover, by)| Job {
            position_m: garden.beds[*i].position_m,
            minutes: cover.minutes,
            by: 60.0 * by.hours_since(asked_at),
        })
        .collect();
    order(&jobs, garden.labour.people)
        .iter()
        .map(|stop| Task {
            bed: chosen[stop.job].0,
            minutes: jobs[stop.job].minutes,
            walk_minutes: stop.walk,
            by: chosen[stop.job].2,
        })
        .collect()
}

fn short(problem: &Problem, solver: &dyn Solver, plan: &Plan) -> Result<Vec<ShortList>, Error> {
    let less: Vec<u32> = [600, 1200, 2400, 3600]
        .into_iter()
        .filter(|s| f64::from(*s) < 0.9 * plan.seconds as f64)
        .collect();
    let lists = short_lists(problem, solver, plan, &less)?;
    Ok(lists
        .into_iter()
        .map(|(seconds, p)| {
            let mut done: Vec<(usize, usize)> = p
                .choice
                .iter()
                .enumerate()
                .filter_map(|(bed, c)| Some((bed, c.checked_sub(1)?)))
                .collect();
            let saved = |&(bed, option): &(usize, usize)| {
                let c = &problem.beds[bed];
                c[0].expected_loss - c[option + 1].expected_loss
            };
            done.sort_by(|a, b| saved(b).total_cmp(&saved(a)));
            ShortList {
                minutes: f64::from(seconds) / 60.0,
                beds: done.iter().map(|d| d.0).collect(),
                options: done.iter().map(|d| d.1).collect(),
                expected_loss: p.expected_loss,
            }
        })
        .collect())
}

fn driver(sky: &ForecastSeries, steps: &NightSteps) -> Driver {
    let mean = |f: &dyn Fn(Moment) -> Option<f64>| {
        let values: Vec<f64> =
            (steps.cover..steps.end).filter_map(|k| f(at_step(steps.start, k))).collect();
        (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
    };
    let (wind, cloud) = (mean(&|m| sky.wind_m_s(m)), mean(&|m| sky.cloud(m)));
    let windy = wind.is_some_and(|w| w >= 4.5);
    let cloudy = cloud.is_some_and(|c| c >= 0.7);
    let calm_clear = wind.is_some_and(|w| w < 3.0) && cloud.is_some_and(|c| c < 0.35);
    match (windy, cloudy) {
        (true, true) => Driver::WindAndCloud,
        (true, false) => Driver::Wind,
        (false, true) => Driver::Cloud,
        _ if calm_clear => Driver::ClearCalm,
        _ => Driver::Mixed,
    }
}

fn summary(
    forecast: &Forecast,
    sky: &ForecastSeries,
    steps: &NightSteps,
    ensemble: &Ensemble,
    doubts: Vec<String>,
    settings: Settings,
) -> WeatherSummary {
    let dark = steps.cover..steps.end;
    let moments = || dark.clone().map(|k| at_step(steps.start, k));
    let (mut low, mut low_at) = (f64::INFINITY, steps.start);
    for m in moments() {
        if let Some(t) = sky.air_c(m).filter(|t| *t < low) {
            (low, low_at) = (t, m);
        }
    }
    let mean = |x: Vec<f64>| (!x.is_empty()).then(|| x.iter().sum::<f64>() / x.len() as f64);
    let end = at_step(steps.start, steps.end);
    let tonight = || {
        forecast
            .hours
            .iter()
            .filter(move |h| h.interval.end > steps.start && h.interval.start < end)
    };
    let gust = tonight()
        .filter_map(|h| h.wind_gust_m_s.or(h.wind_speed_m_s))
        .map(|r| r.value)
        .fold(None, |a: Option<f64>, g| Some(a.map_or(g, |a| a.max(g))));
    let snow: Vec<f64> = tonight().filter_map(|h| h.snowfall_m).map(|r| r.value).collect();
    let lows: Vec<f64> = ensemble
        .forcing
        .iter()
        .flat_map(|block| {
            block[dark.clone()].iter().fold([f64::INFINITY; WIDTH], |low, f| {
                std::array::from_fn(|i| low[i].min(f.air_c.lane(i)))
            })
        })
        .collect();
    let half_hours: Vec<Vec<f32>> = (steps.cover..=steps.end - STEPS_A_HALF_HOUR)
        .step_by(STEPS_A_HALF_HOUR)
        .map(|k| {
            let all = ensemble.forcing.iter().flat_map(|block| {
                let of = &block[k..k + STEPS_A_HALF_HOUR];
                let sum = of.iter().fold(Lanes::of(0.0), |s, f| s + f.air_c);
                (0..WIDTH).map(move |m| (sum.lane(m) / STEPS_A_HALF_HOUR as f64) as f32)
            });
            all.collect()
        })
        .collect();
    WeatherSummary {
        source: forecast.source.to_owned(),
        issued: forecast.issued,
        night: Interval { start: at_step(steps.start, steps.cover), end },
        forecast_low_c: low,
        forecast_low_at: low_at,
        garden_low_c: spread(&lows),
        air_course: course(at_step(steps.start, steps.cover), &half_hours),
        wind_m_s: mean(moments().filter_map(|m| sky.wind_m_s(m)).collect()),
        gust_m_s: gust,
        cloud: mean(moments().filter_map(|m| sky.cloud(m)).collect()),
        driver: driver(sky, steps),
        snow_m: (!snow.is_empty()).then(|| snow.iter().sum()),
        notices: forecast.notices.iter().map(ToString::to_string).collect(),
        doubts,
        members: ensemble.members(),
        seed: settings.seed,
    }
}

#[expect(clippy::too_many_arguments, reason = "the morning needs the whole evening")]
fn mornings(
    garden: &Garden,
    simulations: &[BedSimulation<'_>],
    nights: &[BedNights],
    beds: &[BedReport],
    sky: &ForecastSeries,
    forecast_hours: &[quantities::WeatherHour],
    steps: &NightSteps,
    sun: &SunTimes,
) -> Result<Vec<MorningTask>, Error> {
    let start = at_step(steps.start, steps.cover);
    // Into the afternoon, when it is hottest.
    let until = sun.sunrise.plus_seconds(11 * 3600);
    let last = forecast_hours.last().map_or(until, |h| h.interval.end).min(until);
    let forcing = Ensemble::plain(sky, start, morning::steps_between(start, last));
    let mut out = Vec::new();
    for (i, ((simulation, night), bed)) in simulations.iter().zip(nights).zip(beds).enumerate() {
        let Some(option) = bed.chosen.and_then(|c| bed.options.get(c)) else { continue };
        let cover = physics::cover(&option.cover, simulation.garden_bed);
        let draws = priors::central(&garden.site, simulation.garden_bed.wetness);
        let Some(evening) = night.evening.first() else { continue };
        let evening = evening.just_covered(evening.air_c);
        out.push(morning::task(i, simulation, &cover, &draws, &evening, &forcing, start, sun)?);
    }
    out.sort_by_key(|t| t.by);
    Ok(out)
}
