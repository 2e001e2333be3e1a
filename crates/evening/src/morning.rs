//! What to open tomorrow, and by when: heat, bees, light.

use garden::crops;
use microclimate::cover::Cover;
use microclimate::lanes::Lanes;
use microclimate::parameters::STEP_S;
use microclimate::real::Real;
use microclimate::{Forcing, Site, State, step};
use quantities::Moment;

use crate::ensemble::at_step;
use crate::error::Error;
use crate::night::BedSimulation;
use crate::report::{MorningAction, MorningReason, MorningTask, SunTimes};

/// Air temperature at which honeybees fly, °C (10 to 13; orchard and bumblebees earlier).
const BEES_FLY_C: f64 = 10.0;
/// Sunlight in which film cooks what is under it, whatever the air outside, W/m² (common practice, no source: from memory).
const SUN_ON_FILM_W_M2: f64 = 250.0;
/// Outside air above which cool-season cloth is better off, °C (60 °F; common practice, no source).
const WARM_DAY_C: f64 = 15.5;

/// The morning task of a bed under the cover that was chosen.
///
/// The cover is carried on into the day under the forecast itself; the middle of the sixteen soil classes decides.
///
/// # Errors
/// [`Error::Physics`].
#[expect(clippy::too_many_arguments, reason = "site, weather and time are three things each")]
pub fn task(
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
    let safe = simulation.stakes.iter().map(|s| s.limits.t10_c).fold(f64::NEG_INFINITY, f64::max);
    let mut state = *evening;
    let (mut hot, mut over, mut bees, mut warm, mut sunny) = (None, None, None, None, None);
    for (k, force) in forcing.iter().enumerate() {
        step(&site, force, &mut state)
            .map_err(|error| Error::Physics { bed: simulation.garden_bed.name.clone(), error })?;
        let at = at_step(start, k + 1);
        if at < sun.sunrise {
            continue;
        }
        let (inside, outside) = (state.air_c.lane(4), force.air_c.lane(4));
        note(&mut hot, at, inside >= limit_c);
        // In full light a leaf in the open is no colder than the air.
        note(&mut over, at, outside >= safe + 1.0);
        note(&mut bees, at, outside >= BEES_FLY_C);
        note(&mut warm, at, outside >= WARM_DAY_C);
        note(&mut sunny, at, force.sun_w_m2.lane(4) >= SUN_ON_FILM_W_M2);
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

/// Steps from one moment to another.
#[must_use]
pub fn steps_between(from: Moment, to: Moment) -> usize {
    ((to.0 - from.0).max(0) as f64 / STEP_S).ceil() as usize
}
