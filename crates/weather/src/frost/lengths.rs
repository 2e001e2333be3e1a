//! Lengths of the growing season, each its own number: not the difference of two quantiles.

use std::ops::RangeInclusive;

use quantities::quantile;

use crate::constants::SEASON_DAYS;

use super::bootstrap::{self, Interval};
use super::dates::Dates;
use super::trend::{Trend, trend};

/// Length of the growing season in every year whose spring and autumn both count; numbers as in [`Dates`].
#[derive(Clone, Debug, PartialEq)]
pub struct Lengths {
    years: Vec<(i16, u16)>,
    /// Of every year in each filling of missing days.
    fillings: Vec<Vec<u16>>,
    ascending: Vec<Vec<f64>>,
}

impl Lengths {
    /// Days strictly between the last event of spring and the first of autumn; 365 at most, and where either cold season
    /// had no event. Checked by `frost::fort_collins_lists`.
    pub(super) fn between_events(last: &Dates, first: &Dates) -> Self {
        let autumn = |year: i16| first.events().iter().position(|a| a.year == year);
        let springs = last.events().iter().enumerate();
        let both: Vec<(i16, usize, usize)> =
            springs.filter_map(|(i, s)| Some((s.year, i, autumn(s.year)?))).collect();
        let length = |spring: Option<u16>, autumn: Option<u16>| match (spring, autumn) {
            (Some(s), Some(a)) => (SEASON_DAYS + a - s).saturating_sub(1).min(SEASON_DAYS),
            _ => SEASON_DAYS,
        };
        let day = |days: &[Option<u16>], i: usize| days.get(i).copied().flatten();
        let fillings = last.fillings().zip(first.fillings()).map(|(spring, autumn)| {
            both.iter().map(|(_, i, j)| length(day(spring, *i), day(autumn, *j))).collect()
        });
        Self::new(both.iter().map(|b| b.0).collect(), fillings.collect())
    }

    pub(super) fn between(&self, years: &RangeInclusive<i16>) -> Self {
        let among = |year: i16| years.contains(&year);
        let kept = self.years.iter().map(|y| y.0).filter(|y| among(*y)).collect();
        let of = |days: &Vec<u16>| {
            let both = self.years.iter().zip(days);
            both.filter(|(y, _)| among(y.0)).map(|(_, days)| *days).collect()
        };
        Self::new(kept, self.fillings.iter().map(of).collect())
    }

    fn new(years: Vec<i16>, fillings: Vec<Vec<u16>>) -> Self {
        let middle = |place: usize| {
            let mut of_year: Vec<u16> =
                fillings.iter().filter_map(|days| days.get(place).copied()).collect();
            of_year.sort_unstable();
            of_year.get(of_year.len() / 2).copied().unwrap_or(SEASON_DAYS)
        };
        let years = years.iter().enumerate().map(|(i, year)| (*year, middle(i))).collect();
        let ascending = |days: &Vec<u16>| {
            let mut days: Vec<f64> = days.iter().copied().map(f64::from).collect();
            days.sort_unstable_by(f64::total_cmp);
            days
        };
        let ascending = fillings.iter().map(ascending).collect();
        Self { years, fillings, ascending }
    }

    /// Year and length in days, in order; where days are missing, the middle one of the fillings.
    #[must_use]
    pub fn years(&self) -> &[(i16, u16)] {
        &self.years
    }

    fn mean_of(&self, of: impl Fn(&[f64]) -> Option<f64>) -> Option<f64> {
        let found: Vec<f64> = self.ascending.iter().filter_map(|a| of(a)).collect();
        quantile::mean(&found)
    }

    /// Mean length, days.
    #[must_use]
    pub fn mean(&self) -> Option<f64> {
        self.mean_of(quantile::mean)
    }

    /// Standard deviation, days.
    #[must_use]
    pub fn sd(&self) -> Option<f64> {
        self.mean_of(quantile::standard_deviation)
    }

    /// The length that a share `p` of the years does not pass (type 7), days.
    #[must_use]
    pub fn quantile(&self, p: f64) -> Option<f64> {
        self.mean_of(|days| quantile::type_7(days, p))
    }

    /// How sure the quantiles are, as [`Dates::intervals`].
    #[must_use]
    pub fn intervals(&self, ps: &[f64], draws: usize, seed: u64) -> Vec<Option<Interval>> {
        let of = |days: &Vec<u16>| days.iter().map(|d| Some(f64::from(*d))).collect();
        let days: Vec<Vec<Option<f64>>> = self.fillings.iter().map(of).collect();
        bootstrap::quantile_intervals(&days, ps, draws, seed)
    }

    /// Whether the season grows, in days for ten years.
    #[must_use]
    pub fn trend(&self) -> Option<Trend> {
        trend(&self.years.iter().map(|y| (f64::from(y.0), f64::from(y.1))).collect::<Vec<_>>())
    }
}
