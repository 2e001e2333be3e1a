//! Lengths of the growing season, each its own number: not the difference of two quantiles.

use std::ops::RangeInclusive;

use quantities::quantile;

use crate::constants::SEASON_DAYS;

use super::bootstrap::{self, Interval};
use super::dates::Dates;
use super::trend::{Trend, trend};

/// Length of the growing season in every year whose spring and autumn both count.
#[derive(Clone, Debug, PartialEq)]
pub struct Lengths {
    years: Vec<(i16, u16)>,
    ascending: Vec<f64>,
}

impl Lengths {
    /// Days strictly between the last event of spring and the first of autumn; 365 at most, and where either cold season
    /// had no event. Checked by `frost::fort_collins_lists`.
    pub(super) fn between_events(last: &Dates, first: &Dates) -> Self {
        let mut autumn = first.events().iter().peekable();
        let mut years = Vec::new();
        for spring in last.events() {
            while autumn.peek().is_some_and(|a| a.year < spring.year) {
                autumn.next();
            }
            let Some(a) = autumn.peek().filter(|a| a.year == spring.year) else { continue };
            let days = match (spring.season_day, a.season_day) {
                (Some(s), Some(a)) => (SEASON_DAYS + a - s).saturating_sub(1).min(SEASON_DAYS),
                _ => SEASON_DAYS,
            };
            years.push((spring.year, days));
        }
        Self::new(years)
    }

    pub(super) fn between(&self, years: &RangeInclusive<i16>) -> Self {
        Self::new(self.years.iter().filter(|y| years.contains(&y.0)).copied().collect())
    }

    fn new(years: Vec<(i16, u16)>) -> Self {
        let mut ascending: Vec<f64> = years.iter().map(|y| f64::from(y.1)).collect();
        ascending.sort_unstable_by(f64::total_cmp);
        Self { years, ascending }
    }

    /// Year and length in days, in order.
    #[must_use]
    pub fn years(&self) -> &[(i16, u16)] {
        &self.years
    }

    /// Mean length, days.
    #[must_use]
    pub fn mean(&self) -> Option<f64> {
        quantile::mean(&self.ascending)
    }

    /// Standard deviation, days.
    #[must_use]
    pub fn sd(&self) -> Option<f64> {
        quantile::standard_deviation(&self.ascending)
    }

    /// The length that a share `p` of the years does not pass (type 7), days.
    #[must_use]
    pub fn quantile(&self, p: f64) -> Option<f64> {
        quantile::type_7(&self.ascending, p)
    }

    /// How sure the quantiles are, as [`Dates::intervals`].
    #[must_use]
    pub fn intervals(&self, ps: &[f64], draws: usize, seed: u64) -> Vec<Option<Interval>> {
        let days: Vec<Option<f64>> = self.years.iter().map(|y| Some(f64::from(y.1))).collect();
        bootstrap::quantile_intervals(&days, ps, draws, seed)
    }

    /// Whether the season grows, in days for ten years.
    #[must_use]
    pub fn trend(&self) -> Option<Trend> {
        trend(&self.years.iter().map(|y| (f64::from(y.0), f64::from(y.1))).collect::<Vec<_>>())
    }
}
