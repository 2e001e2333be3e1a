//! Cold seasons of a record: their first and last event, and whether enough days are there to believe them.

use std::ops::RangeInclusive;

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::SeedableRng as _;

use crate::constants::{FILLINGS, MARGIN_DAYS, MOST_MISSING_SHARE, SEASON_DAYS};

use super::dates::{Dates, Which};
use super::filled::Usual;
use super::hemisphere::Hemisphere;
use super::lengths::Lengths;
use crate::station::calendar::day_number;
use crate::station::{ABSENT, StationRecord};

/// Seed of the fillings: the same record gives the same dates.
const FILL_SEED: u64 = 1;

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
    /// As seen through minima from the day of number `begin` on, tenths of °C.
    fn seen(
        (begin, minima): (i32, &[i16]),
        year: i16,
        hemisphere: Hemisphere,
        threshold: i16,
    ) -> Self {
        let first_day = day_number(hemisphere.start(year));
        let end = day_number(hemisphere.start(year + 1));
        let leap = end - first_day == 366;
        let from = (first_day - begin).max(0) as usize;
        let to = ((end - begin).max(0) as usize).min(minima.len());
        let days = minima.get(from..to).unwrap_or_default();
        let event = |t: &i16| *t != ABSENT && *t <= threshold;
        let mut season = Self { year, first_day, leap, first: None, last: None, whole: false };
        season.whole = days.len() as i32 == end - first_day;
        let number = |i: usize| {
            let place = (begin - first_day) + (from + i) as i32;
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

    /// Share of the days of a window without a minimum; `None` where the record does not reach over it. `minima` as for
    /// [`Self::seen`].
    fn missing(
        &self,
        (begin, minima): (i32, &[i16]),
        (lo, hi): (u16, u16),
        h: Hemisphere,
    ) -> Option<f64> {
        let place = |day| usize::try_from(self.number_of(day, h) - begin).ok();
        let days = minima.get(place(lo)?..=place(hi)?)?;
        let missing = days.iter().filter(|t| **t == ABSENT).count();
        Some(missing as f64 / days.len() as f64)
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
    /// at which the threshold was ever reached (a week more on both sides), with half of those days measured: a rule that
    /// does not ask what the year brought. Where days among them are missing, they are drawn [`FILLINGS`] times
    /// (`filled`), and every answer is the mean over the fillings.
    /// Checked by `frost::fort_collins_lists`, `frost::published_dates_of_two_stations`,
    /// `frost::missing_days_move_no_date`, `frost::a_gappy_record_says_what_a_whole_one_says`.
    /// Equation 33 of docs/science.md.
    #[must_use]
    pub fn from_record(record: &StationRecord, threshold_c: f64, latitude_deg: f64) -> Self {
        let h = Hemisphere::from_latitude(latitude_deg);
        let threshold = (threshold_c * 10.0).round().clamp(-32_000.0, 32_000.0) as i16;
        let years = record.years();
        let through = |minima: &[i16]| -> Vec<Season> {
            (years.start() - 1..=*years.end())
                .map(|year| Season::seen((record.first, minima), year, h, threshold))
                .collect()
        };
        let measured: Vec<i16> = record.days.iter().map(|t| t.min).collect();
        let seasons = through(&measured);
        let counted = |which: Which| -> (Vec<usize>, bool) {
            let window = window(&seasons, which);
            let share = |s: &Season| s.missing((record.first, &measured), window, h);
            let counts = |(i, s): (usize, &Season)| {
                Some((i, share(s).filter(|missing| *missing <= MOST_MISSING_SHARE)?))
            };
            let (places, missing): (Vec<usize>, Vec<f64>) =
                seasons.iter().enumerate().filter_map(counts).unzip();
            (places, missing.iter().all(|m| *m == 0.0))
        };
        let (spring, autumn) = (counted(Which::LastSpring), counted(Which::FirstAutumn));
        let usual = if spring.1 && autumn.1 { None } else { Usual::from_record(record) };
        let mut rng = Xoshiro256PlusPlus::seed_from_u64(FILL_SEED);
        let fillings: Vec<Vec<Season>> = match usual {
            Some(usual) => (0..FILLINGS).map(|_| through(&usual.filled(&mut rng))).collect(),
            None => vec![seasons],
        };
        let dates = |which: Which, places: &[usize]| {
            let years = places.iter().map(|i| which.year(fillings[0][*i].year)).collect();
            let days = |seasons: &Vec<Season>| {
                places.iter().map(|i| which.pick(seasons[*i].first, seasons[*i].last)).collect()
            };
            Dates::new(which, h, years, fillings.iter().map(days).collect())
        };
        let last_spring = dates(Which::LastSpring, &spring.0);
        let first_autumn = dates(Which::FirstAutumn, &autumn.0);
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
