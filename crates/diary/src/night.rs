//! Which night something belongs to: the local date of its evening.

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan as _, ZonedDateTime};
use quantities::Moment;

/// From this local hour on, a reading is of the night that begins; before it, of the night that was.
const EVENING_HOUR: i8 = 18;
/// Before this local hour the night's minimum may still come.
const MORNING_HOUR: i8 = 4;
/// Sunset is taken this much earlier, so that one just past midnight in a northern June is of the evening before, hours.
const SUNSET_BACK_H: i64 = 6;

/// A cover laid in the daylight hours before dark is this evening's work, hours.
const AFTERNOON_H: i64 = 9;

/// Local time of a moment.
#[must_use]
pub fn local(at: Moment, zone: &TimeZone) -> ZonedDateTime {
    Timestamp::from_second(at.0).unwrap_or_default().to_zoned_datetime(zone.clone())
}

/// The night of a sunset.
#[must_use]
pub fn of_sunset(sunset: Moment, zone: &TimeZone) -> Date {
    local(sunset.plus_seconds(-SUNSET_BACK_H * 3600), zone).date()
}

/// The night that a thermometer read at that moment tells of.
#[must_use]
pub fn of_reading(at: Moment, zone: &TimeZone) -> Date {
    let local = local(at, zone);
    if local.hour() >= EVENING_HOUR {
        return local.date();
    }
    local.date().saturating_sub(1.day())
}

/// Whether the night's minimum is behind when a thermometer is read at that moment: from 4 in the morning to 6 in the evening.
#[must_use]
pub fn is_over(at: Moment, zone: &TimeZone) -> bool {
    (MORNING_HOUR..EVENING_HOUR).contains(&local(at, zone).hour())
}

/// From when on a cover laid is the work of the evening that is dark from `dark` on.
#[must_use]
pub fn afternoon_before(dark: Moment) -> Moment {
    dark.plus_seconds(-AFTERNOON_H * 3600)
}
