//! What to open tomorrow or today, and by when: heat, bees, light.

use garden::crops;
use garden::fit::Cover as Fit;
use garden::garden::Garden;
use garden::lying::{Lying, Opening};
use microclimate::cover::Cover;
use microclimate::lanes::Lanes;
use microclimate::real::Real;
use microclimate::{Forcing, Site, State, step};
use quantities::{Moment, WeatherHour};

use crate::constants::{
    BEES_FLY_C, DAY_IS_OVER_S, FOR_TONIGHT_S, FROST_OVER_K, MORNING_LANE, OPEN_ENDS_MIN,
    SUN_ON_FILM_W_M2, WARM_DAY_C,
};
use crate::ensemble::{Ensemble, ForecastSeries};
use crate::error::Error;
use crate::night::BedSimulation;
use crate::priors;
use crate::report::{BedReport, MorningAction, MorningReason, MorningTask, SunTimes};
use crate::steps::{NightSteps, at_step, steps_between};
use crate::tonight::bed_nights::BedNights;
use crate::tonight::lying::{as_physics, take_off_minutes};
use crate::tonight::{night_times, soil_spin_up};

/// A cover on its way into the day.
struct Carried<'a> {
    index: usize,
    simulation: &'a BedSimulation<'a>,
    cover: Cover,
    opening: Opening,
    since: Option<Moment>,
    state: State<Lanes>,
}

/// The day it is carried into.
struct Day<'a> {
    /// The first step of `forcing`.
    start: Moment,
    forcing: &'a [Forcing<Lanes>],
    sunrise: Moment,
    /// The moment of asking and the coming sunset, where it is this day.
    now: Option<(Moment, Moment)>,
}

/// The morning tasks of the beds that are covered in the night, the earliest first.
///
/// # Errors
/// [`Error::Physics`].
#[expect(clippy::too_many_arguments, reason = "the morning needs the whole evening")]
pub fn tasks(
    garden: &Garden,
    simulations: &[BedSimulation<'_>],
    nights: &[BedNights],
    beds: &[BedReport],
    sky: &ForecastSeries,
    forecast_hours: &[WeatherHour],
    steps: &NightSteps,
    sun: &SunTimes,
) -> Result<Vec<MorningTask>, Error> {
    let start = at_step(steps.start, steps.cover);
    // Into the afternoon, when it is hottest.
    let until = sun.sunrise.plus_seconds(11 * 3600);
    let last = forecast_hours.last().map_or(until, |h| h.interval.end).min(until);
    let forcing = Ensemble::plain(sky, start, steps_between(start, last));
    let day = Day { start, forcing: &forcing, sunrise: sun.sunrise, now: None };
    let mut out = Vec::new();
    for (index, ((simulation, night), bed)) in simulations.iter().zip(nights).zip(beds).enumerate()
    {
        let Some(evening) = night.evening.first().map(|e| e.state) else { continue };
        let laid = bed.chosen.and_then(|c| bed.options.get(c)).map(|o| &o.cover);
        let lies = simulation.lies.at_night().filter(|(l, _)| l.against_cold() && !bed.takes_off);
        let (fit, opening, state): (&Fit, _, _) = match (laid, lies) {
            (Some(laid), _) => (laid, Opening::Shut, evening.just_covered(evening.air_c)),
            (None, Some((lies, opening))) => (&lies.cover, opening, evening),
            (None, None) => continue,
        };
        let Some(cover) = as_physics(fit, opening, simulation.garden_bed) else { continue };
        let carried = Carried { index, simulation, cover, opening, since: None, state };
        out.push(task(garden, carried, &day)?);
    }
    out.sort_by_key(|t| t.by);
    Ok(out)
}

/// What lies now and is to be opened or taken off today, the most urgent first; what may stay on is left out.
///
/// Each is done after those before it; one that should have been done before is late and comes first.
/// Checked by `around_the_clock::film_forgotten_in_the_sun_is_the_first_line`.
///
/// # Errors
/// [`Error::Physics`], [`Error::NoNight`].
pub fn today(
    garden: &Garden,
    simulations: &[BedSimulation<'_>],
    hours: &[WeatherHour],
    now: Moment,
    sunset: Moment,
) -> Result<Vec<MorningTask>, Error> {
    let (last_sunset, sunrise) = night_times::this_day(garden, now)?;
    let known = hours.first().map_or(now, |h| h.interval.start);
    // Whole steps back from the question.
    let steps_back = steps_between(last_sunset.max(known).min(now), now);
    let start = now.plus_seconds(-(at_step(Moment(0), steps_back).0));
    let sky = ForecastSeries::new(hours, garden.place);
    let (before, _) = soil_spin_up::days_before(&sky, hours, start, garden.units, &mut Vec::new());
    let end = hours.last().map_or(sunset, |h| h.interval.end).min(sunset);
    let forcing = Ensemble::plain(&sky, start, steps_between(start, end));
    let day = Day { start, forcing: &forcing, sunrise, now: Some((now, sunset)) };
    let mut out = Vec::new();
    for (index, simulation) in simulations.iter().enumerate() {
        let Some(main) = simulation.lies.main.as_ref().filter(|l| l.against_cold()) else {
            continue;
        };
        let Some(cover) = as_physics(&main.cover, main.opening, simulation.garden_bed) else {
            continue;
        };
        let state = simulation.spin_up(garden, &before, start)?;
        let Lying { opening, since, .. } = *main;
        let carried = Carried { index, simulation, cover, opening, since, state };
        let task = task(garden, carried, &day)?;
        if task.action != MorningAction::LeaveOn {
            out.push((task, main.cover.clone()));
        }
    }
    // Film shut in the sun before all else, then by the clock.
    let cooks = |t: &MorningTask| {
        t.late_since.is_some()
            && matches!(t.why, MorningReason::Heat { .. } | MorningReason::SunOnFilm)
    };
    out.sort_by_key(|(t, _)| (!cooks(t), t.by));
    let mut busy_s = 0.0;
    Ok(out
        .into_iter()
        .map(|(mut t, cover)| {
            let minutes = match t.action {
                MorningAction::OpenEnds => OPEN_ENDS_MIN,
                _ => take_off_minutes(&cover),
            };
            busy_s += 60.0 * minutes / f64::from(garden.labour.people.max(1));
            let done = now.plus_seconds(f64::ceil(busy_s) as i64);
            if t.by < done {
                t.late_since = t.late_since.or_else(|| (t.by < now).then_some(t.by));
                t.by = done;
            }
            t
        })
        .collect())
}

/// The task of a bed under a cover.
///
/// The cover is carried on into the day under the forecast itself; the soil class of [`MORNING_LANE`] decides.
///
/// # Errors
/// [`Error::Physics`].
fn task(garden: &Garden, carried: Carried<'_>, day: &Day<'_>) -> Result<MorningTask, Error> {
    let Carried { index, simulation, cover, opening, since, mut state } = carried;
    let draws = &priors::central(&garden.site, simulation.garden_bed.wetness);
    let under = |at: Moment| since.is_none_or(|s| at >= s).then_some(&cover);
    let plantings = &simulation.garden_bed.plantings;
    let limit_c =
        plantings.iter().map(|p| crops::heat_limit_c(p.crop)).fold(f64::INFINITY, f64::min);
    let safe = simulation.at_risk.iter().map(|s| s.limits.t10_c).fold(f64::NEG_INFINITY, f64::max);
    let (mut hot, mut over, mut bees, mut warm, mut sunny) = (None, None, None, None, None);
    let (mut still_hot, mut still_sunny, mut still_bees) = (false, false, false);
    let mut inside_now = None;
    let (now, sunset) = day.now.unzip();
    let mut was_covered = true;
    for (k, force) in day.forcing.iter().enumerate() {
        let lies = under(at_step(day.start, k));
        if lies.is_some() && !was_covered {
            state = state.just_covered(force.air_c);
        }
        was_covered = lies.is_some();
        let site = Site { bed: &simulation.bed, cover: lies, column: &simulation.column, draws };
        step(&site, force, &mut state)
            .map_err(|error| Error::Physics { bed: simulation.garden_bed.name.clone(), error })?;
        let at = at_step(day.start, k + 1);
        let (inside, outside) = (state.air_c.lane(MORNING_LANE), force.air_c.lane(MORNING_LANE));
        if now.is_some_and(|n| at <= n) {
            inside_now = Some(inside);
        }
        if at < day.sunrise || lies.is_none() {
            continue;
        }
        let later = now.is_none_or(|n| at >= n);
        let sun = force.sun_w_m2.lane(MORNING_LANE) >= SUN_ON_FILM_W_M2;
        note(&mut hot, at, inside >= limit_c);
        // In full light a leaf in the open is no colder than the air.
        note(&mut over, at, outside >= safe + FROST_OVER_K);
        note(&mut bees, at, outside >= BEES_FLY_C);
        note(&mut warm, at, outside >= WARM_DAY_C);
        note(&mut sunny, at, sun);
        still_hot |= later && inside >= limit_c;
        still_sunny |= later && sun;
        still_bees |= later && outside >= BEES_FLY_C;
    }
    let half_hour = |m: Moment| Moment(m.0 - 1800).max(day.sunrise);
    let noon = day.sunrise.plus_seconds(5 * 3600);
    // What is over by now is no reason any more, nor what was laid for the coming night.
    let for_night =
        sunset.zip(since).is_some_and(|(sunset, since)| sunset.0 - since.0 <= FOR_TONIGHT_S);
    let day_over =
        for_night || sunset.zip(now).is_some_and(|(sunset, now)| sunset.0 - now.0 < DAY_IS_OVER_S);
    let hot = hot.filter(|_| still_hot);
    let sunny = sunny.filter(|_| still_sunny && !for_night);
    let bees = bees.filter(|_| still_bees && !day_over);
    let bloom = plantings.iter().any(|p| crops::needs_bees(p.crop, p.stage));
    let film = matches!(cover, Cover::Cloth { fabric, .. } if fabric.permeability_m_s <= 0.0)
        || simulation.lies.main.as_ref().is_some_and(|l| l.is_film() && day.now.is_some());
    let loose = matches!(cover, Cover::Loose { .. });
    let (by, why) = match (hot, bees) {
        (Some(h), Some(b)) if bloom && b < half_hour(h) => (b, MorningReason::Bees),
        // Heat at any hour of the day asks for opening; light and film may ask for it sooner.
        (Some(h), _) if half_hour(h) < noon => (half_hour(h), MorningReason::Heat { limit_c }),
        (_, Some(b)) if bloom => (b, MorningReason::Bees),
        _ if film && sunny.is_some() => {
            // Not before the frost outside is over, unless that takes until noon.
            let from = sunny.map_or(noon, half_hour);
            (over.map_or(from, |o| o.max(from)).min(noon), MorningReason::SunOnFilm)
        }
        (Some(h), _) if warm.is_none() || day_over => {
            (half_hour(h), MorningReason::Heat { limit_c })
        }
        _ if day_over => (noon, MorningReason::ColdDay),
        _ if loose || warm.is_some() => (noon, MorningReason::Light),
        _ => (noon, MorningReason::ColdDay),
    };
    let action = match (why, opening) {
        (MorningReason::ColdDay, _) | (MorningReason::SunOnFilm, Opening::EndsOpen) => {
            MorningAction::LeaveOn
        }
        (MorningReason::Heat { .. } | MorningReason::SunOnFilm, Opening::Shut) if film => {
            MorningAction::OpenEnds
        }
        _ => MorningAction::TakeOff,
    };
    // What was laid later cannot have been late before.
    let by = since.map_or(by, |s| by.max(s));
    let late_since = now.filter(|n| by < *n && action != MorningAction::LeaveOn).map(|_| by);
    let from = over.filter(|o| *o <= by);
    Ok(MorningTask { bed: index, action, from, by, why, late_since, inside_c: inside_now })
}

fn note(first: &mut Option<Moment>, at: Moment, happens: bool) {
    if first.is_none() && happens {
        *first = Some(at);
    }
}
