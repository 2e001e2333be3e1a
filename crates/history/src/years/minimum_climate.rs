//! What nightly minima a record knows for each day of the year: mean, spread, and how long a cold spell lasts.

use weather::StationRecord;
use weather::station::calendar::day_number;

use crate::constants::{CLIMATE_WINDOW_DAYS, LEAST_CLIMATE_SD_K};

/// Days of the year, 29 February counted with 1 March.
const YEAR: usize = 365;

/// Mean and spread of the minima of each day of the year, and the correlation of one night's with the next one's.
#[derive(Clone, Debug, PartialEq)]
pub struct MinimumClimate {
    mean_c: Vec<f64>,
    sd_k: Vec<f64>,
    /// Correlation of the departures of two nights on end.
    pub lag_one: f64,
}

impl MinimumClimate {
    /// From all minima of a record, those of [`CLIMATE_WINDOW_DAYS`] before and after each day of the year together; the
    /// spread is that of the departures from each one's own day's mean, so that the turn of the season is no part of it.
    ///
    /// A day of the year without any minimum has the mean and spread of the whole record.
    /// Checked by `forecasts::the_climate_is_that_of_the_record`.
    #[must_use]
    pub fn from_record(record: &StationRecord) -> Self {
        let known = || record.days().filter_map(|d| Some((place(day_number(d.date)), d.tmin_c?)));
        let mean_c = over_windows(known());
        let squares = over_windows(known().map(|(d, low)| (d, (low - mean_c[d]).powi(2))));
        let sd_k = squares.into_iter().map(|v| v.sqrt().max(LEAST_CLIMATE_SD_K)).collect();
        let mut climate = Self { mean_c, sd_k, lag_one: 0.0 };
        climate.lag_one = climate.measured_lag_one(record);
        climate
    }

    /// Mean of the minima about a day, °C.
    #[must_use]
    pub fn mean_c(&self, number: i32) -> f64 {
        self.mean_c[place(number)]
    }

    /// Their standard deviation, K.
    #[must_use]
    pub fn sd_k(&self, number: i32) -> f64 {
        self.sd_k[place(number)]
    }

    fn measured_lag_one(&self, record: &StationRecord) -> f64 {
        let mut sums = [0.0_f64; 3];
        let mut before: Option<f64> = None;
        for day in record.days() {
            let number = day_number(day.date);
            let now = day.tmin_c.map(|t| (t - self.mean_c(number)) / self.sd_k(number));
            if let Some((a, b)) = before.zip(now) {
                sums = [sums[0] + a * b, sums[1] + a * a, sums[2] + b * b];
            }
            before = now;
        }
        let size = (sums[1] * sums[2]).sqrt();
        if size > 0.0 { sums[0] / size } else { 0.0 }
    }
}

/// Mean by day of the year of what lies within the window about it, of everything where nothing does.
fn over_windows(values: impl Iterator<Item = (usize, f64)>) -> Vec<f64> {
    let mut by_day = vec![(0.0_f64, 0.0_f64); YEAR];
    for (day, value) in values {
        by_day[day] = (by_day[day].0 + 1.0, by_day[day].1 + value);
    }
    let add = |a: (f64, f64), b: (f64, f64)| (a.0 + b.0, a.1 + b.1);
    let all = by_day.iter().copied().fold((0.0, 0.0), add);
    let near = |d: usize, o: usize| by_day[(d + YEAR + o - CLIMATE_WINDOW_DAYS) % YEAR];
    (0..YEAR)
        .map(|d| {
            let here = (0..=2 * CLIMATE_WINDOW_DAYS).map(|o| near(d, o)).fold((0.0, 0.0), add);
            let (n, sum) = if here.0 > 0.0 { here } else { all };
            sum / n.max(1.0)
        })
        .collect()
}

/// Place of a day in a year of 365 days.
fn place(number: i32) -> usize {
    let date = weather::station::calendar::date_of(number);
    let day = date.day_of_year() as usize - 1;
    let leap = date.in_leap_year() && day >= 59;
    (day - usize::from(leap)).min(YEAR - 1)
}
