//! What to open tomorrow or today, and by when: heat, bees, light.

use garden::crops;
use garden::fit::Cover as Fit;
use garden::garden::Garden;
use garden::lying::{Lying, Opening};
use microclimate::lanes::Lanes;
use microclimate::real::Real;
use microclimate::{Forcing, State};
use quantities::{Moment, WeatherHour};
use rayon::prelude::*;
use weather::Forecast;

use crate::by_day::{ByDay, DaySoFar, Over};
use crate::constants::{
    DAY_IS_OVER_S, FOR_TONIGHT_S, FROST_OVER_K, MORNING_LANE, SUN_ON_FILM_W_M2, WORTH_A_WORD,
};
use crate::day_cost;
use crate::ensemble::{Ensemble, ForecastSeries};
use crate::error::Error;
use crate::learned::Learned;
use crate::night::BedSimulation;
use crate::physics;
use crate::report::{BedReport, MorningAction, MorningReason, MorningTask, SunTimes};
use crate::steps::{NightSteps, at_step, steps_between};
use crate::tonight::bed_nights::BedNights;
use crate::tonight::night_times::{self, NextNight};
use crate::tonight::opening::{self, Lid, NightAfter, TRIAL_NIGHTS, Way};
use crate::tonight::soil_spin_up;

/// A cover on its way into the day.
struct Carried<'a> {
    index: usize,
    simulation: &'a BedSimulation<'a>,
    fit: &'a Fit,
    opening: Opening,
    since: Option<Moment>,
    state: State<Lanes>,
}

/// The day it is carried into.
struct Day<'a> {
    /// The first step of `forcing`.
    start: Moment,
    /// Until sunset, or as far as the forecast reaches.
    forcing: &'a [Forcing<Lanes>],
    sunrise: Moment,
    /// The moment of asking and the coming sunset, where it is this day.
    now: Option<(Moment, Moment)>,
    /// The night after it.
    night: Option<NightAfter<'a>>,
}

/// The morning after the night, as everything before it has it.
pub struct Morning<'a> {
    /// The garden.
    pub garden: &'a Garden,
    /// The forecast.
    pub forecast: &'a Forecast,
    /// The hours before, and the forecast.
    pub hours: &'a [WeatherHour],
    /// What is known of this garden beyond it.
    pub learned: &'a Learned<'a>,
    /// The night's steps.
    pub steps: &'a NightSteps,
    /// The turning points of the light.
    pub sun: &'a SunTimes,
    /// Doubt about the soil, K.
    pub soil_sigma_k: f64,
    /// Seed of the night's draw.
    pub seed: u64,
}

impl Morning<'_> {
    /// The tasks of the beds that are covered in the night, the earliest first.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn tasks(
        &self,
        simulations: &[BedSimulation<'_>],
        nights: &[BedNights],
        beds: &[BedReport],
    ) -> Result<Vec<MorningTask>, Error> {
        let Self { garden, steps, sun, .. } = *self;
        let start = at_step(steps.start, steps.cover);
        let next = night_times::next(garden, self.forecast, sun.sunset);
        let drawn = next.as_ref().map(|n| (self.night_after(n), n.steps));
        let night = drawn.as_ref().map(|(ensemble, steps)| NightAfter {
            ensemble,
            steps,
            soil_sigma_k: self.soil_sigma_k,
        });
        let reached = self.forecast.hours.last().map_or(start, |h| h.interval.end);
        let dusk = night_times::after(&garden.place, sun.sunset).map_or(reached, |n| n.0);
        let sky = ForecastSeries::new(self.hours, garden.place);
        let forcing = Ensemble::plain(&sky, start, steps_between(start, dusk.min(reached)));
        let day = Day { start, forcing: &forcing, sunrise: sun.sunrise, now: None, night };
        let covered = |b: usize| {
            let (simulation, bed) = (&simulations[b], &beds[b]);
            let state = nights[b].evening.first().map(|e| e.state)?;
            let laid = bed.chosen.and_then(|c| bed.options.get(c)).map(|o| &o.cover);
            let lies = simulation.lies.against_cold_at_night().filter(|_| !bed.takes_off);
            let (fit, opening, state) = match (laid, lies) {
                (Some(laid), _) => (laid, Opening::Shut, state.just_covered(state.air_c)),
                (None, Some((_, Opening::HalfOff)) | None) => return None,
                (None, Some((lies, opening))) => (&lies.cover, opening, state),
            };
            Some(Carried { index: b, simulation, fit, opening, since: None, state })
        };
        let mut out: Vec<MorningTask> = (0..beds.len())
            .into_par_iter()
            .filter_map(covered)
            .map(|carried| task(garden, carried, &day))
            .collect::<Result<_, _>>()?;
        out.sort_by_key(|t| t.by);
        Ok(out)
    }

    /// Some courses of the night after the day.
    fn night_after(&self, next: &NextNight) -> Ensemble {
        let NightSteps { start, end, .. } = next.steps;
        let place = self.garden.place;
        let sky = ForecastSeries::for_night(self.hours, place, start, at_step(start, end));
        let learned = Learned { evening: &[], ..*self.learned };
        let draw = (TRIAL_NIGHTS, self.seed.wrapping_add(1));
        let (forecast, site) = (self.forecast, &self.garden.site);
        Ensemble::draw_knowing(&sky, forecast, site, (start, end), draw, &learned)
    }
}

/// What lies now and is to be opened or taken off today, the most urgent first; what may stay on is left out.
///
/// Each is done after those before it; one that should have been done before is late and comes first. `night` is the coming
/// one. Checked by `around_the_clock::film_forgotten_in_the_sun_is_the_first_line`.
///
/// # Errors
/// [`Error::Physics`], [`Error::NoNight`].
pub fn today(
    garden: &Garden,
    simulations: &[BedSimulation<'_>],
    hours: &[WeatherHour],
    (now, sunset): (Moment, Moment),
    night: NightAfter<'_>,
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
    let (now_and_sunset, night) = (Some((now, sunset)), Some(night));
    let day = Day { start, forcing: &forcing, sunrise, now: now_and_sunset, night };
    let one = |index: usize| -> Result<Option<MorningTask>, Error> {
        let simulation = &simulations[index];
        let main = simulation.lies.main.as_ref();
        let Some(main) = main.filter(|l| l.against_cold() && l.opening != Opening::HalfOff) else {
            return Ok(None);
        };
        let state = simulation.spin_up(garden, &before, start)?;
        let Lying { opening, since, .. } = *main;
        let carried = Carried { index, simulation, fit: &main.cover, opening, since, state };
        let task = task(garden, carried, &day)?;
        Ok(Some(task).filter(|t| t.action != MorningAction::LeaveOn))
    };
    let all: Vec<Option<MorningTask>> =
        (0..simulations.len()).into_par_iter().map(one).collect::<Result<_, _>>()?;
    let mut out: Vec<MorningTask> = all.into_iter().flatten().collect();
    // Film shut in the sun before all else, then by the clock.
    let cooks = |t: &MorningTask| {
        t.late_since.is_some()
            && matches!(t.why, MorningReason::Heat { .. } | MorningReason::SunOnFilm)
    };
    out.sort_by_key(|t| (!cooks(t), t.by));
    let mut busy_s = 0.0;
    for t in &mut out {
        busy_s += 60.0 * t.minutes / f64::from(garden.labour.people.max(1));
        let done = now.plus_seconds(f64::ceil(busy_s) as i64);
        if t.by < done {
            t.late_since = t.late_since.or_else(|| (t.by < now).then_some(t.by));
            t.by = done;
        }
    }
    Ok(out)
}

/// The task of a bed under a cover.
///
/// The cover is carried on into the day under the forecast itself; the soil class of [`MORNING_LANE`] decides. Heat, sun on
/// film and bees ask for opening, whatever it costs; light is weighed against the work ([`Lid::ways`]), which also chooses
/// how it is opened.
///
/// # Errors
/// [`Error::Physics`].
fn task(garden: &Garden, carried: Carried<'_>, day: &Day<'_>) -> Result<MorningTask, Error> {
    let Carried { index, simulation, fit, opening, since, mut state } = carried;
    let cover = physics::as_it_lies(fit, opening, simulation.garden_bed);
    let under = |at: Moment| cover.as_ref().filter(|_| since.is_none_or(|s| at >= s));
    let plantings = &simulation.garden_bed.plantings;
    let limit_c =
        plantings.iter().map(|p| crops::heat_limit_c(p.crop)).fold(f64::INFINITY, f64::min);
    let safe = simulation.at_risk.iter().map(|s| s.limits.t10_c).fold(f64::NEG_INFINITY, f64::max);
    let (mut hot, mut over, mut bees, mut sunny) = (None, None, None, None);
    let (mut still_hot, mut still_sunny, mut still_bees) = (false, false, false);
    let mut inside_now = None;
    let (now, sunset) = day.now.unzip();
    let by_day = ByDay { garden, simulation };
    // The bed at the moment at which something can be done, and the day until then.
    let turn = steps_between(day.start, now.unwrap_or(day.sunrise)).min(day.forcing.len());
    let (mut so_far, mut at_turn) = (DaySoFar::default(), state);
    let mut night_low_c = f64::INFINITY;
    let mut was_covered = true;
    for (k, force) in day.forcing.iter().enumerate() {
        if k == turn {
            at_turn = state;
        }
        let lies = under(at_step(day.start, k));
        if lies.is_some() && !was_covered {
            state = state.just_covered(force.air_c);
        }
        was_covered = lies.is_some();
        let dark = at_step(day.start, k) < day.sunrise;
        let share = lies.map_or(1.0, |_| day_cost::bees_by(opening));
        by_day.along(&mut state, lies, std::slice::from_ref(force), |state, force| {
            if !dark && k < turn {
                so_far.push(state, force, Over { cover: lies, bees: share });
            }
        })?;
        let at = at_step(day.start, k + 1);
        let (inside, outside) = (state.air_c.lane(MORNING_LANE), force.air_c.lane(MORNING_LANE));
        if dark {
            night_low_c = night_low_c.min(outside);
        }
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
        note(&mut bees, at, day_cost::bees_fly(outside));
        note(&mut sunny, at, sun);
        still_hot |= later && inside >= limit_c;
        still_sunny |= later && sun;
        still_bees |= later && day_cost::bees_fly(outside);
    }
    if turn == day.forcing.len() {
        at_turn = state;
    }
    let rest = day.forcing.get(turn..).unwrap_or_default();
    let night = day.night.as_ref();
    let lid = Lid { by_day, fit, opening, so_far, state: at_turn, night_low_c, rest, night };
    let ways = lid.ways()?;
    let least =
        |ways: &[Way]| ways.iter().copied().reduce(|a, b| if b.cost < a.cost { b } else { a });
    let stays = least(&ways).is_none_or(|w| w.action == MorningAction::LeaveOn);
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
    let film = fit.is_film();
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
        (Some(h), _) if stays || day_over => (half_hour(h), MorningReason::Heat { limit_c }),
        _ if stays || day_over => (noon, MorningReason::ColdDay),
        _ => (noon, MorningReason::Light),
    };
    let left = ways.first().copied();
    // What leaving it takes from the plants, beyond what the least hard way does.
    let least_day = ways.iter().map(|w| w.day).fold(f64::INFINITY, f64::min);
    let worth_a_word = left.is_some_and(|w| w.day - least_day >= WORTH_A_WORD);
    let why = match why {
        MorningReason::ColdDay if worth_a_word && !day_over => MorningReason::Work,
        why => why,
    };
    let way = match (why, opening) {
        (MorningReason::ColdDay | MorningReason::Work, _)
        | (MorningReason::SunOnFilm, Opening::EndsOpen) => left,
        _ => least(ways.get(1..).unwrap_or_default()).or(left),
    };
    let action = way.map_or(MorningAction::LeaveOn, |w| w.action);
    let left_costs = left.zip(way).map_or(0.0, |(left, way)| (left.day - way.day).max(0.0));
    // What was laid later cannot have been late before.
    let by = since.map_or(by, |s| by.max(s));
    let late_since = now.filter(|n| by < *n && action != MorningAction::LeaveOn).map(|_| by);
    let from = over.filter(|o| *o <= by);
    let minutes = opening::minutes(fit, opening, action);
    let inside_c = inside_now;
    Ok(MorningTask { bed: index, action, minutes, from, by, why, late_since, inside_c, left_costs })
}

fn note(first: &mut Option<Moment>, at: Moment, happens: bool) {
    if first.is_none() && happens {
        *first = Some(at);
    }
}
