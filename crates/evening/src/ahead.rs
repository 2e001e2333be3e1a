//! The nights ahead: the evening plan for every night the forecast reaches, each with the doubt of its own lead.

use garden::garden::Garden;
use garden::lying::GardenState;
use quantities::Fault;
use weather::Forecast;

use crate::constants::{MOST_NIGHTS_AHEAD, PLANNED_BEFORE_SUNSET_S};
use crate::error::Error;
use crate::learned::Learned;
use crate::report::Report;
use crate::tonight::{Settings, night_times, tonight_knowing};

/// The plans of the nights after `first` that the forecast covers whole, `first` itself at their head.
///
/// Each night has the whole shed to itself: what is laid one evening is off again the next. The soil comes to each
/// evening through the forecast days before it. Checked by `ahead::each_night_is_its_own_plan` and
/// `ahead::doubt_grows_with_the_days`.
///
/// # Errors
/// A bug of ours; what else a night lacks ends the list.
pub fn nights(
    garden: &Garden,
    forecast: &Forecast,
    past: Option<&Forecast>,
    first: Report,
    settings: Settings,
    learned: &Learned<'_>,
) -> Result<Vec<Report>, Error> {
    // What was read this evening is of this night.
    let learned = Learned { evening: &[], ..*learned };
    let mut sunset = first.sun.sunset;
    let mut out = vec![first];
    while out.len() < MOST_NIGHTS_AHEAD {
        let Some((next, _)) = night_times::after(&garden.place, sunset) else { break };
        sunset = next;
        let at = sunset.plus_seconds(-PLANNED_BEFORE_SUNSET_S);
        let state = GardenState::of_file(garden, at);
        match tonight_knowing(garden, &state, forecast, past, at, settings, &learned) {
            Ok(report) => out.push(report),
            Err(e) if e.is_bug() => return Err(e),
            Err(_) => break,
        }
    }
    Ok(out)
}
