//! Evenings and quiet hours in the garden's zone: read off the clock anew each time, so that sleep, restarts and clock changes
//! move nothing.

use garden::watch::Watch;
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan as _};
use quantities::{Moment, Place, sun};

/// Sun's altitude at sunset and sunrise, degrees (standard refraction and half its width).
const HORIZON_DEG: f64 = -0.833;
/// The evening is told at least so long before the work must begin, or before sunset, s.
const BEFORE_WORK_S: i64 = 3600;
/// From here on the next evening is the coming one.
const NOON: Time = Time::constant(12, 0, 0, 0);
/// Longest night looked for, s.
const DAY_S: i64 = 86_400;

/// The zone of a garden.
#[must_use]
pub fn zone(name: &str) -> TimeZone {
    TimeZone::get(name).unwrap_or(TimeZone::UTC)
}

fn at(moment: Moment) -> Timestamp {
    Timestamp::from_second(moment.0).unwrap_or_default()
}

/// The moment of a local time; where the clock jumps over it, as much later (RFC 5545's rule).
#[must_use]
pub fn moment(date: Date, time: Time, zone: &TimeZone) -> Moment {
    zone.to_ambiguous_timestamp(date.to_datetime(time))
        .compatible()
        .map_or(Moment(0), |t| Moment(t.as_second()))
}

/// Local date of a moment.
#[must_use]
pub fn date(of: Moment, zone: &TimeZone) -> Date {
    zone.to_datetime(at(of)).date()
}

/// An evening and the night after it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Evening {
    /// Its local date.
    pub night: Date,
    /// Sunset; where the sun does not set, local 16:00.
    pub sunset: Moment,
    /// Sunrise after it; where the sun does not rise within a day, local 8:00.
    pub sunrise: Moment,
    /// The moment it was asked for.
    asked: Moment,
}

impl Evening {
    /// The evening that a moment belongs to: until sunrise that of the day before.
    ///
    /// Checked by `calendar::a_night_lasts_until_sunrise`.
    #[must_use]
    pub fn at(now: Moment, place: &Place, zone: &TimeZone) -> Self {
        let today = date(now, zone);
        let noon = moment(today, NOON, zone);
        // The sun rises between now and noon: it is still the night before.
        let rises = (now < noon).then(|| sun::next_crossing(place, now, HORIZON_DEG, false));
        let before = rises.flatten().is_some_and(|r| r < noon);
        let night = if before { today.yesterday().unwrap_or(today) } else { today };
        let (sunset, sunrise) = sunset_and_sunrise(night, place, zone);
        Self { night, sunset, sunrise, asked: now }
    }

    /// Whether a later moment belongs to it too.
    #[must_use]
    pub fn holds(&self, now: Moment) -> bool {
        self.asked <= now && now < self.sunrise
    }

    /// When it is told: at the hour that was asked for, or an hour before the work must begin or the sun sets.
    ///
    /// Checked by `calendar::the_evening_is_told_before_the_work`.
    #[must_use]
    pub fn told_at(&self, start_by: Option<Moment>, watch: &Watch, zone: &TimeZone) -> Moment {
        let work = start_by.map_or(self.sunset, |s| s.min(self.sunset));
        moment(self.night, watch.evening, zone).min(work.plus_seconds(-BEFORE_WORK_S))
    }
}

fn sunset_and_sunrise(night: Date, place: &Place, zone: &TimeZone) -> (Moment, Moment) {
    let noon = moment(night, NOON, zone);
    let otherwise = |hours: i64| noon.plus_seconds(hours * 3600);
    let near = |m: &Moment| m.0 - noon.0 < DAY_S;
    let set = sun::next_crossing(place, noon, HORIZON_DEG, true).filter(near);
    let set = set.unwrap_or(otherwise(4));
    let rise = sun::next_crossing(place, set, HORIZON_DEG, false).filter(|m| m.0 - set.0 < DAY_S);
    (set, rise.unwrap_or(otherwise(20)))
}

/// When the quiet hours end that a moment lies in; `None` outside them.
///
/// Checked by `calendar::quiet_hours_pass_midnight`.
#[must_use]
pub fn quiet_until(now: Moment, watch: &Watch, zone: &TimeZone) -> Option<Moment> {
    let (from, until) = watch.quiet?;
    let today = date(now, zone);
    let days = [today.checked_sub(1.day()), Ok(today)];
    days.into_iter().flatten().find_map(|day| {
        let begin = moment(day, from, zone);
        let last = if until > from { day } else { day.tomorrow().ok()? };
        let end = moment(last, until, zone);
        (begin <= now && now < end).then_some(end)
    })
}
