//! Dates that come once a year, and the calendar they are counted on.

use std::ops::Range;

use weather::frost::Interval;
use weather::frost::bootstrap::{interval, resample};
use weather::station::calendar::{checked, date_of};

use crate::constants::DATE_DRAWS;

/// Days of the calendar.
pub const DAYS: usize = 365;

/// One date a year, days from the middle of winter; `None` where it does not come within the year.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dates(pub Vec<Option<usize>>);

impl Dates {
    /// The first day by which it has come in at least a share `p` of the years: the ⌈p n⌉th; `None` where it has not.
    ///
    /// Range: `p` above 0, to 1. Checked by `year::a_date_has_come_in_its_share_of_years`.
    /// Equation 68 of docs/science.md.
    #[must_use]
    pub fn by(&self, p: f64) -> Option<usize> {
        let mut sorted: Vec<usize> = self.0.iter().map(|d| d.unwrap_or(usize::MAX)).collect();
        sorted.sort_unstable();
        let place = (p * sorted.len() as f64 - 1e-9).ceil().max(1.0) as usize;
        sorted.get(place - 1).copied().filter(|d| *d < usize::MAX)
    }

    /// What other such years would have said of [`Self::by`], 5 to 95 %; `None` where a tenth of draws give no date.
    #[must_use]
    pub fn interval(&self, p: f64, seed: u64) -> Option<Interval> {
        let mut found = Vec::with_capacity(DATE_DRAWS);
        resample(self.0.len(), DATE_DRAWS, seed, |places| {
            let drawn = Self(places.iter().map(|i| self.0[*i]).collect());
            found.extend(drawn.by(p).map(|d| d as f64));
        });
        interval(found, DATE_DRAWS)
    }
}

/// Day of the year, 1 to 365, of a day from the middle of winter.
#[must_use]
pub fn day_of_year(index: usize, new_year_day: u16) -> usize {
    (index + usize::from(new_year_day) - 1) % DAYS + 1
}

/// Month and day.
#[must_use]
pub fn month_day(index: usize, new_year_day: u16) -> (i8, i8) {
    // 2001 has no 29 February.
    let new_year = checked(2001, 1, 1).unwrap_or(0);
    let date = date_of(new_year + day_of_year(index, new_year_day) as i32 - 1);
    (date.month(), date.day())
}

/// The half-months (1st to 15th, 16th to the end) in order from the middle of winter.
///
/// Checked by `year::half_months_are_twenty_four_and_leave_nothing_out`.
#[must_use]
pub fn half_months(new_year_day: u16) -> Vec<Range<usize>> {
    let name = |i: usize| {
        let (month, day) = month_day(i, new_year_day);
        (month, day > 15)
    };
    let mut out: Vec<Range<usize>> = Vec::new();
    for i in 0..DAYS {
        match out.last_mut() {
            Some(last) if name(last.start) == name(i) => last.end = i + 1,
            _ => out.push(i..i + 1),
        }
    }
    out
}

/// The stretches of days that are on.
#[must_use]
pub fn spans(on: &[bool]) -> Vec<Range<usize>> {
    let mut out: Vec<Range<usize>> = Vec::new();
    for (i, _) in on.iter().enumerate().filter(|(_, on)| **on) {
        match out.last_mut() {
            Some(last) if last.end == i => last.end = i + 1,
            _ => out.push(i..i + 1),
        }
    }
    out
}
