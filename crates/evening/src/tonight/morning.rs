//! What to open tomorrow, and by when: heat, bees, light.

use garden::crops;
use garden::garden::Garden;
use microclimate::cover::Cover;
use microclimate::lanes::Lanes;
use microclimate::real::Real;
use microclimate::{Forcing, Site, State, step};
use quantities::{Moment, WeatherHour};

use crate::constants::{BEES_FLY_C, FROST_OVER_K, MORNING_LANE, SUN_ON_FILM_W_M2, WARM_DAY_C};
use crate::ensemble::{Ensemble, ForecastSeries};
use crate::error::Error;
use crate::night::BedSimulation;
use crate::report::{BedReport, MorningAction, MorningReason, MorningTask, SunTimes};
use crate::steps::{NightSteps, at_step, steps_between};
use crate::tonight::bed_nights::BedNights;
use crate::{physics, priors};

/// The morning tasks of the beds that are covered, the earliest first.
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
    let mut out = Vec::new();
    for (i, ((simulation, night), bed)) in simulations.iter().zip(nights).zip(beds).enumerate() {
        let Some(option) = bed.chosen.and_then(|c| bed.options.get(c)) else { continue };
        let cover = physics::cover(&option.cover, simulation.garden_bed);
        let draws = priors::central(&garden.site, simulation.garden_bed.wetness);
        let Some(evening) = night.evening.first() else { continue };
        let evening = evening.just_covered(evening.air_c);
        out.push(task(i, simulation, &cover, &draws, &evening, &forcing, start, sun)?);
    }
    out.sort_by_key(|t| t.by);
    Ok(out)
}

/// The morning task of a bed under the cover that was chosen.
///
/// The cover is carried on into the day under the forecast itself; the soil class of [`MORNING_LANE`] decides.
///
/// # Errors
/// [`Error::Physics`].
#[expect(clippy::too_many_arguments, reason = "site, weather and time are three things each")]
fn task(
    index: usize,
    simulation: &BedSimulation<'_>,
    cover: &Cover,
    draws: &microclimate::Draws<Lanes>,
    evening: &State<Lanes>,
    forcing: &[Forcing<Lanes>],
    start: Moment,
    sun: &SunTimes,
) -> Result<MorningTask, Error> {
    let site = Site { bed: &simulation.bed, cover: Some(cover), column: &simulation.column, draws };
    let plantings = &simulation.garden_bed.plantings;
    let limit_c =
        plantings.iter().map(|p| crops::heat_limit_c(p.crop)).fold(f64::INFINITY, f64::min);
    let safe = simulation.at_risk.iter().map(|s| s.limits.t10_c).fold(f64::NEG_INFINITY, f64::max);
    let mut state = *evening;
    let (mut hot, mut over, mut bees, mut warm, mut sunny) = (None, None, None, None, None);
    for (k, force) in forcing.iter().enumerate() {
        step(&site, force, &mut state)
            .map_err(|error| Error::Physics { bed: simulation.garden_bed.name.clone(), error })?;
        let at = at_step(start, k + 1);
        if at < sun.sunrise {
            continue;
        }
        let (inside, outside) = (state.air_c.lane(MORNING_LANE), force.air_c.lane(MORNING_LANE));
        note(&mut hot, at, inside >= limit_c);
        // In full light a leaf in the open is no colder than the air.
        note(&mut over, at, outside >= safe + FROST_OVER_K);
        note(&mut bees, at, outside >= BEES_FLY_C);
        note(&mut warm, at, outside >= WARM_DAY_C);
        note(&mut sunny, at, force.sun_w_m2.lane(MORNING_LANE) >= SUN_ON_FILM_W_M2);
    }
    let half_hour = |m: Moment| Moment(m.0 - 1800).max(sun.sunrise);
    let noon = sun.sunrise.plus_seconds(5 * 3600);
    let bloom = plantings.iter().any(|p| crops::needs_bees(p.crop, p.stage));
    let film = matches!(cover, Cover::Cloth { fabric, .. } if fabric.permeability_m_s <= 0.0);
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
        (Some(h), _) if warm.is_none() => (half_hour(h), MorningReason::Heat { limit_c }),
        _ if loose || warm.is_some() => (noon, MorningReason::Light),
        _ => (noon, MorningReason::ColdDay),
    };
    let action = match why {
        MorningReason::ColdDay => MorningAction::LeaveOn,
        MorningReason::Heat { .. } | MorningReason::SunOnFilm if film => MorningAction::OpenEnds,
        _ => MorningAction::TakeOff,
    };
    Ok(MorningTask { bed: index, action, from: over.filter(|o| *o <= by), by, why })
}

fn note(first: &mut Option<Moment>, at: Moment, happens: bool) {
    if first.is_none() && happens {
        *first = Some(at);
    }
}
