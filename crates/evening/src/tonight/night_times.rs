//! When the night begins and ends, and whether the forecast reaches that far.

use garden::garden::Garden;
use quantities::constants::{CIVIL_DUSK_ALTITUDE_DEG, SUNRISE_ALTITUDE_DEG};
use quantities::sun;
use quantities::{Moment, Place};
use weather::Forecast;

use microclimate::parameters::STEP_S;

use crate::constants::{
    BEFORE_DAWN_S, FOR_TONIGHT_S, LAID_AFTER_S, LONGEST_GAP_H, MORNING_S,
    NIGHT_ENDS_AFTER_SUNRISE_S,
};
use crate::ensemble::ForecastSeries;
use crate::error::Error;
use crate::report::{Phase, SunTimes};
use crate::steps::{NightSteps, at_step, steps_between};

/// A night after the coming one.
#[derive(Clone, Copy, Debug)]
pub struct NextNight {
    /// Sunset before it.
    pub sunset: Moment,
    /// Sunrise after it.
    pub sunrise: Moment,
    /// Its steps: covers count from sunset.
    pub steps: NightSteps,
}

/// Sunset, dark and sunrise of the night that runs or comes, and its steps, with weather known from `first` on.
///
/// Asked after sunset, the steps begin there, so that harm already done counts as done; what is laid then keeps warm after
/// [`LAID_AFTER_S`].
pub fn times(
    garden: &Garden,
    first: Moment,
    asked_at: Moment,
) -> Result<(SunTimes, NightSteps), Error> {
    let place = &garden.place;
    let cross = |from, altitude, falling| {
        sun::next_crossing(place, from, altitude, falling).ok_or(Error::NoNight)
    };
    let up = sun_is_up(garden, asked_at)?;
    let sunset = if up {
        cross(asked_at, SUNRISE_ALTITUDE_DEG, true)?
    } else {
        cross(asked_at.plus_seconds(-16 * 3600), SUNRISE_ALTITUDE_DEG, true)?
    };
    let dark = cross(sunset, CIVIL_DUSK_ALTITUDE_DEG, true)?;
    let sunrise = cross(sunset.max(asked_at), SUNRISE_ALTITUDE_DEG, false)?;
    // Whole steps back from the question.
    let back = (asked_at.0 - sunset.max(first).0).max(0) / STEP_S as i64;
    let start = asked_at.plus_seconds(-back * STEP_S as i64);
    let laid = sunset.max(asked_at.plus_seconds(LAID_AFTER_S));
    let steps = NightSteps {
        start,
        watched: steps_between(start, sunset),
        cover: steps_between(start, laid),
        end: steps_between(start, sunrise.plus_seconds(NIGHT_ENDS_AFTER_SUNRISE_S)),
    };
    Ok((SunTimes { sunset, dark, sunrise }, steps))
}

/// Whether the sun is up.
///
/// # Errors
/// [`Error::NoNight`] where nobody can say.
pub fn sun_is_up(garden: &Garden, at: Moment) -> Result<bool, Error> {
    let sun = sun::position(&garden.place, at).ok_or(Error::NoNight)?;
    Ok(sun.zenith_deg < 90.0 - SUNRISE_ALTITUDE_DEG)
}

/// The sunset before the day of `at`, and its sunrise.
///
/// # Errors
/// [`Error::NoNight`].
pub fn this_day(garden: &Garden, at: Moment) -> Result<(Moment, Moment), Error> {
    let cross = |from, falling| {
        sun::next_crossing(&garden.place, from, SUNRISE_ALTITUDE_DEG, falling).ok_or(Error::NoNight)
    };
    let mut sunset = cross(at.plus_seconds(-36 * 3600), true)?;
    // The last one before `at`.
    while let Ok(next) = cross(sunset.plus_seconds(3600), true) {
        if next >= at {
            break;
        }
        sunset = next;
    }
    Ok((sunset, cross(sunset, false)?))
}

/// Sunset and sunrise of the night after the one that begins with `sunset`; `None` where the sun does not set and rise.
#[must_use]
pub fn after(place: &Place, sunset: Moment) -> Option<(Moment, Moment)> {
    let noon = sunset.plus_seconds(12 * 3600);
    let next = sun::next_crossing(place, noon, SUNRISE_ALTITUDE_DEG, true)?;
    Some((next, sun::next_crossing(place, next, SUNRISE_ALTITUDE_DEG, false)?))
}

/// Sunset and steps of the night after the one that begins with `sunset`, where the forecast covers it whole.
#[must_use]
pub fn next(garden: &Garden, forecast: &Forecast, sunset: Moment) -> Option<NextNight> {
    let (sunset, sunrise) = after(&garden.place, sunset)?;
    let end = sunrise.plus_seconds(NIGHT_ENDS_AFTER_SUNRISE_S);
    let reached = forecast.hours.last()?.interval.end;
    let sky = ForecastSeries::new(&forecast.hours, garden.place);
    // An hour less than the night's end will do, as it does tonight.
    let covered = end.plus_seconds(-3600) <= reached
        && sky.air().longest_gap_h(sunset, end.min(reached)) <= LONGEST_GAP_H;
    let steps = NightSteps { start: sunset, watched: 0, cover: 0, end: steps_between(sunset, end) };
    covered.then_some(NextNight { sunset, sunrise, steps })
}

/// The part of the day.
#[must_use]
pub fn phase(sun: &SunTimes, sunrise_today: Option<Moment>, asked_at: Moment) -> Phase {
    match sunrise_today {
        Some(rise) if asked_at.0 - rise.0 < MORNING_S => Phase::Morning,
        Some(_) if sun.sunset.0 - asked_at.0 > FOR_TONIGHT_S => Phase::Midday,
        Some(_) => Phase::Afternoon,
        None if asked_at < sun.dark => Phase::Afternoon,
        None if sun.sunrise.0 - asked_at.0 > BEFORE_DAWN_S => Phase::AfterDark,
        None => Phase::BeforeDawn,
    }
}

/// Refuses a forecast that begins after the question or ends before the night does.
///
/// # Errors
/// [`Error::ForecastTooShort`].
pub fn reaches(forecast: &Forecast, asked_at: Moment, steps: &NightSteps) -> Result<(), Error> {
    let needed = at_step(steps.start, steps.end).hours_since(asked_at);
    let (Some(first), Some(last)) = (forecast.hours.first(), forecast.hours.last()) else {
        return Err(Error::ForecastTooShort { from: 0.0, to: 0.0, needed });
    };
    let from = first.interval.start.hours_since(asked_at);
    let to = last.interval.end.hours_since(asked_at);
    if from > 2.0 || to < needed - 1.0 {
        let round = |x: f64| (x * 10.0).round() / 10.0;
        return Err(Error::ForecastTooShort { from: round(from), to: round(to), needed });
    }
    Ok(())
}
