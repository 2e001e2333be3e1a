//! Cold seasons of a record: their first and last event, and whether enough days are there to believe them.

use std::ops::RangeInclusive;

use crate::constants::{MARGIN_DAYS, MOST_MISSING_DAYS, SEASON_DAYS};

use super::dates::{Dates, Event, Which};
use super::hemisphere::Hemisphere;
use super::lengths::Lengths;
use crate::station::StationRecord;
use crate::station::calendar::day_number;

/// One cold season seen through a record; days from 1 on the 365-day calendar.
struct Season {
    year: i16,
    first_day: i32,
    leap: bool,
    first: Option<u16>,
    last: Option<u16>,
    whole: bool,
}

impl Season {
    fn from_record(
        record: &StationRecord,
        year: i16,
        hemisphere: Hemisphere,
        threshold: i16,
    ) -> Self {
        let first_day = day_number(hemisphere.start(year));
        let end = day_number(hemisphere.start(year + 1));
        let leap = end - first_day == 366;
        let from = (first_day - record.first).max(0) as usize;
        let to = ((end - record.first).max(0) as usize).min(record.days.len());
        let days = record.days.get(from..to).unwrap_or_default();
        let event = |t: &crate::station::Tenths| t.known_at_most(threshold);
        let mut season = Self { year, first_day, leap, first: None, last: None, whole: false };
        season.whole = days.len() as i32 == end - first_day;
        let number = |i: usize| {
            let place = (record.first - first_day) + (from + i) as i32;
            season.day_of(place as usize, hemisphere)
        };
        let (first, last) = (days.iter().position(event), days.iter().rposition(event));
        (season.first, season.last) = (first.map(number), last.map(number));
        season
    }

    /// 1 to 365 from a place in the season.
    fn day_of(&self, place: usize, hemisphere: Hemisphere) -> u16 {
        let before = usize::from(self.leap && place >= hemisphere.leap_place());
        (place + 1 - before) as u16
    }

    fn number_of(&self, day: u16, hemisphere: Hemisphere) -> i32 {
        let after = i32::from(self.leap && usize::from(day) > hemisphere.leap_place());
        self.first_day + i32::from(day) - 1 + after
    }

    /// Days without a minimum from `from` to `to`, both within the season and both counted.
    fn missing(&self, record: &StationRecord, days: RangeInclusive<u16>, h: Hemisphere) -> usize {
        (self.number_of(*days.start(), h)..=self.number_of(*days.end(), h))
            .filter(|n| record.min_at(*n) == crate::station::ABSENT)
            .count()
    }

    /// Whether the record covers the days and lacks at most [`MOST_MISSING_DAYS`] of those that could hide another event.
    fn counts(
        &self,
        record: &StationRecord,
        window: (u16, u16),
        which: Which,
        h: Hemisphere,
    ) -> bool {
        let (lo, hi) = window;
        let covered = record.first <= self.number_of(lo, h)
            && self.number_of(hi, h) < record.first + record.days.len() as i32;
        let unsure = match which {
            Which::FirstAutumn => lo..=self.first.unwrap_or(hi),
            Which::LastSpring => self.last.unwrap_or(lo)..=hi,
        };
        covered && self.missing(record, unsure, h) <= MOST_MISSING_DAYS
    }
}

/// Dates of frost at one threshold.
#[derive(Clone, Debug, PartialEq)]
pub struct FrostDates {
    /// The threshold, °C.
    pub threshold_c: f64,
    /// Last event of each spring that counts.
    pub last_spring: Dates,
    /// First event of each autumn that counts.
    pub first_autumn: Dates,
    /// Days between them, for years in which both count.
    pub season: Lengths,
}

impl FrostDates {
    /// All years of a record that count.
    ///
    /// Minima are kept in tenths of °C and the threshold is rounded to one, so that whole °F compare exactly
    /// (28 °F is −2.2 °C on both sides). Spring and autumn count on their own; both need the record to cover the dates
    /// at which the threshold was ever reached (a week more on both sides) with at most [`MOST_MISSING_DAYS`] missing
    /// days that could hide an earlier first or a later last event.
    /// Checked by `frost::fort_collins_lists`, `frost::published_dates_of_two_stations`, `frost::missing_days_discount_a_year`.
    /// Equation 33 of docs/science.md.
    #[must_use]
    pub fn from_record(record: &StationRecord, threshold_c: f64, latitude_deg: f64) -> Self {
        let h = Hemisphere::from_latitude(latitude_deg);
        let threshold = (threshold_c * 10.0).round().clamp(-32_000.0, 32_000.0) as i16;
        let years = record.years();
        let seasons: Vec<Season> = (years.start() - 1..=*years.end())
            .map(|year| Season::from_record(record, year, h, threshold))
            .collect();
        let counted = |which: Which| {
            let window = window(&seasons, which);
            let events = seasons
                .iter()
                .filter(|s| s.counts(record, window, which, h))
                .map(|s| Event {
                    year: which.year(s.year),
                    season_day: which.pick(s.first, s.last),
                })
                .collect();
            Dates::new(which, h, events)
        };
        let last_spring = counted(Which::LastSpring);
        let first_autumn = counted(Which::FirstAutumn);
        let season = Lengths::between_events(&last_spring, &first_autumn);
        Self { threshold_c, last_spring, first_autumn, season }
    }

    /// Only these calendar years.
    #[must_use]
    pub fn between(&self, years: RangeInclusive<i16>) -> Self {
        Self {
            threshold_c: self.threshold_c,
            last_spring: self.last_spring.between(&years),
            first_autumn: self.first_autumn.between(&years),
            season: self.season.between(&years),
        }
    }
}

/// Earliest and latest date of the event in the seasons that the record holds whole, widened by a week. The whole season
/// where it never came, and where no season is whole: a piece of a winter says nothing of its first or last frost.
fn window(seasons: &[Season], which: Which) -> (u16, u16) {
    let whole = |s: &&Season| s.whole;
    let day = |s: &Season| which.pick(s.first, s.last);
    let lo = seasons.iter().filter(whole).filter_map(day).min();
    let hi = seasons.iter().filter(whole).filter_map(day).max();
    let Some((lo, hi)) = lo.zip(hi) else { return (1, SEASON_DAYS) };
    (lo.saturating_sub(MARGIN_DAYS).max(1), (hi + MARGIN_DAYS).min(SEASON_DAYS))
}
