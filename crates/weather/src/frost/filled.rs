//! Days without a minimum, drawn as the season and the days around say, so that no year is left out for what it brought.

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::Rng;

use super::normal;
use crate::constants::{FILL_WINDOW_DAYS, LEAST_SPREAD_K, SEASON_DAYS};
use crate::station::calendar::date_of;
use crate::station::{ABSENT, StationRecord};

/// Days of the calendar of 365.
const YEAR: usize = SEASON_DAYS as usize;
/// Farther than this the next minimum says nothing more, days.
const FARTHEST: usize = 60;

/// What minima of a record are usual on each day of the year, and how long a departure lasts.
pub(super) struct Usual {
    mean: Vec<f64>,
    spread: Vec<f64>,
    /// Correlation of the departures of two days in a row.
    memory: f64,
    /// Place in the year of each day of the record, from 0; 29 February counts as the 28th.
    places: Vec<usize>,
    departures: Vec<Option<f64>>,
}

impl Usual {
    /// Of a record; `None` where some time of the year was never measured.
    ///
    /// μ_d and σ_d are mean and standard deviation of the minima within ten days of day d, in all years;
    /// z = (T − μ_d)/σ_d; φ = Σ z_t z_(t+1)/Σ z_t² over pairs of measured days.
    /// Source: Richardson 1981, Water Resources Research 17:182, in one variable.
    /// Equation 100 of docs/science.md.
    pub fn from_record(record: &StationRecord) -> Option<Self> {
        let places: Vec<usize> =
            (0..record.days.len() as i32).map(|i| place(record.first + i)).collect();
        let minima = || record.days.iter().map(|t| t.min).zip(&places).filter(|m| m.0 != ABSENT);
        let mean = within_window(minima().map(|(t, place)| (*place, f64::from(t) / 10.0)))?;
        let off = |t: i16, place: usize| f64::from(t) / 10.0 - mean[place];
        let squares = within_window(minima().map(|(t, place)| (*place, off(t, *place).powi(2))))?;
        let spread: Vec<f64> = squares.iter().map(|s| s.sqrt().max(LEAST_SPREAD_K)).collect();
        let departures: Vec<Option<f64>> = record
            .days
            .iter()
            .zip(&places)
            .map(|(t, place)| (t.min != ABSENT).then(|| off(t.min, *place) / spread[*place]))
            .collect();
        let pairs = departures.windows(2).filter_map(|p| Some((p[0]?, p[1]?)));
        let (along, square) = pairs.fold((0.0, 0.0), |(a, s), (x, y)| (a + x * y, s + x * x));
        let memory = if square > 0.0 { (along / square).clamp(0.0, 0.98) } else { 0.0 };
        Some(Self { mean, spread, memory, places, departures })
    }

    /// Every minimum of the record, tenths of °C; what was not measured is drawn from what was before and comes after.
    ///
    /// With z₀ the day before (drawn or measured) and z_k the next measured day, k days on: z ~ N(m, v),
    /// 1/v = 1/(1 − φ²) + φ²ᵏ/(1 − φ²ᵏ), m = v [φ z₀/(1 − φ²) + φᵏ z_k/(1 − φ²ᵏ)].
    /// Equation 101 of docs/science.md.
    pub fn filled(&self, rng: &mut Xoshiro256PlusPlus) -> Vec<i16> {
        let phi = self.memory;
        let mut next = self.next_measured();
        let mut before: Option<f64> = None;
        let mut out = Vec::with_capacity(self.places.len());
        for (i, place) in self.places.iter().enumerate() {
            let z = self.departures[i].unwrap_or_else(|| {
                let (mut mean, mut variance) = match before {
                    Some(z) => (phi * z, 1.0 - phi * phi),
                    None => (0.0, 1.0),
                };
                if let Some((k, z)) = next[i].take() {
                    let a = phi.powi(k as i32);
                    let noise = (1.0 - a * a).max(1e-9);
                    let precision = 1.0 / variance + a * a / noise;
                    mean = (mean / variance + a * z / noise) / precision;
                    variance = 1.0 / precision;
                }
                // The middle of one of 2⁵³ equal pieces of 0 to 1.
                let chance = ((rng.next_u64() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64;
                mean + variance.sqrt() * normal::quantile(chance)
            });
            before = Some(z);
            let tenths = 10.0 * (self.mean[*place] + self.spread[*place] * z);
            out.push(tenths.round().clamp(-900.0, 600.0) as i16);
        }
        out
    }

    /// Of each day the next measured one near enough: how many days on, and its departure.
    fn next_measured(&self) -> Vec<Option<(usize, f64)>> {
        let mut next: Option<(usize, f64)> = None;
        let mut out = vec![None; self.departures.len()];
        for (i, z) in self.departures.iter().enumerate().rev() {
            next = z.map(|z| (i, z)).or(next);
            out[i] = next.map(|(at, z)| (at - i, z)).filter(|(k, _)| *k <= FARTHEST);
        }
        out
    }
}

/// Place in the year, from 0, of a day's number.
fn place(number: i32) -> usize {
    let date = date_of(number);
    let day = usize::from(date.day_of_year().unsigned_abs()) - 1;
    let behind = date.in_leap_year() && day > 58;
    day - usize::from(behind)
}

/// Mean of the values within the window around every day of the year; `None` where there is none somewhere.
fn within_window(values: impl Iterator<Item = (usize, f64)>) -> Option<Vec<f64>> {
    let (mut sums, mut counts) = (vec![0.0; YEAR], vec![0.0; YEAR]);
    for (place, value) in values {
        sums[place] += value;
        counts[place] += 1.0;
    }
    let around = |d: usize| {
        (0..=2 * FILL_WINDOW_DAYS).map(move |k| (d + YEAR + k - FILL_WINDOW_DAYS) % YEAR)
    };
    let mean = |d: usize| {
        let (sum, count) = around(d).fold((0.0, 0.0), |(s, n), k| (s + sums[k], n + counts[k]));
        (count > 0.0).then(|| sum / count)
    };
    (0..YEAR).map(mean).collect()
}
