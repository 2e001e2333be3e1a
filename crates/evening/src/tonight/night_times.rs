//! When the night begins and ends, and whether the forecast reaches that far.

use garden::garden::Garden;
use quantities::Moment;
use quantities::constants::{CIVIL_DUSK_ALTITUDE_DEG, SUNRISE_ALTITUDE_DEG};
use quantities::sun;
use weather::Forecast;

use crate::constants::NIGHT_ENDS_AFTER_SUNRISE_S;
use crate::error::Error;
use crate::report::SunTimes;
use crate::steps::{NightSteps, hours, steps_between};

/// Sunset, dark and sunrise around the question, and the steps of the night. Asked after sunset, covers go on in a quarter of an hour.
pub fn times(garden: &Garden, asked_at: Moment) -> Result<(SunTimes, NightSteps), Error> {
    let place = &garden.place;
    let cross = |from, altitude, falling| {
        sun::next_crossing(place, from, altitude, falling).ok_or(Error::NoNight)
    };
    let up = sun::position(place, asked_at).ok_or(Error::NoNight)?.zenith_deg
        < 90.0 - SUNRISE_ALTITUDE_DEG;
    let sunset = if up {
        cross(asked_at, SUNRISE_ALTITUDE_DEG, true)?
    } else {
        cross(asked_at.plus_seconds(-16 * 3600), SUNRISE_ALTITUDE_DEG, true)?
    };
    let dark = cross(sunset, CIVIL_DUSK_ALTITUDE_DEG, true)?;
    let sunrise = cross(sunset.max(asked_at), SUNRISE_ALTITUDE_DEG, false)?;
    let laid = sunset.max(asked_at.plus_seconds(900));
    let steps = NightSteps {
        start: asked_at,
        cover: steps_between(asked_at, laid),
        end: steps_between(asked_at, sunrise.plus_seconds(NIGHT_ENDS_AFTER_SUNRISE_S)),
    };
    Ok((SunTimes { sunset, dark, sunrise }, steps))
}

/// Refuses a forecast that begins after the question or ends before the night does.
///
/// # Errors
/// [`Error::ForecastTooShort`].
pub fn reaches(forecast: &Forecast, asked_at: Moment, steps: &NightSteps) -> Result<(), Error> {
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
