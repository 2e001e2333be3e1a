//! A step in the yearly mean minimum, as a station move or a new thermometer leaves it: a hint, never a correction.

use super::calendar::date_of;
use super::record::{ABSENT, StationRecord};
use crate::constants::{LEAST_CHANCE, LEAST_DAYS_OF_YEAR, LEAST_STEP_K, LEAST_VALUES};
use crate::forecast::Notice;
use jiff::civil::date;

/// The likeliest place of a step in a series.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// How many values lie before it.
    pub after: usize,
    /// Pettitt's K = max |U|.
    pub k: f64,
    /// Approximate chance of so great a K without a step, 0 to 1.
    pub p_value: f64,
    /// Mean after less mean before.
    pub height: f64,
    /// Sum of squares about the two means, divided by that about one straight line.
    pub against_line: f64,
}

/// Pettitt's test: U(t) = Σᵢ≤ₜ Σⱼ>ₜ sgn(xᵢ − xⱼ), K = max |U(t)|, p ≈ 2 exp[−6K²/(n³ + n²)].
///
/// Source: Pettitt 1979, Applied Statistics 28:126 (from memory). `None` for fewer than ten values.
/// Checked by `station::a_step_is_found_and_a_slope_is_not_one`.
/// Equation 39 of docs/science.md.
#[must_use]
pub fn pettitt(x: &[f64]) -> Option<Step> {
    let n = x.len();
    if n < LEAST_VALUES {
        return None;
    }
    let (mut u, mut k, mut after) = (0.0, 0.0, 1);
    for t in 0..n - 1 {
        // U(t) = U(t − 1) + Σⱼ sgn(x_t − xⱼ) over all j.
        u += x.iter().map(|y| (x[t] - y).total_cmp(&0.0) as i32 as f64).sum::<f64>();
        if f64::abs(u) > k {
            (k, after) = (u.abs(), t + 1);
        }
    }
    let nf = n as f64;
    let p_value = (2.0 * (-6.0 * k * k / (nf * nf * nf + nf * nf)).exp()).min(1.0);
    let mean = |s: &[f64]| s.iter().sum::<f64>() / s.len() as f64;
    let (a, b) = x.split_at(after);
    let (before, behind) = (mean(a), mean(b));
    let squares = |s: &[f64], m: f64| s.iter().map(|v| (v - m).powi(2)).sum::<f64>();
    let step = squares(a, before) + squares(b, behind);
    let line = about_line(x);
    let against_line = if line > 0.0 { step / line } else { 1.0 };
    Some(Step { after, k, p_value, height: behind - before, against_line })
}

/// Sum of squares about the least-squares line.
fn about_line(x: &[f64]) -> f64 {
    let n = x.len() as f64;
    let (mt, mx) = ((n - 1.0) / 2.0, x.iter().sum::<f64>() / n);
    let (mut txx, mut ttt, mut xxx) = (0.0, 0.0, 0.0);
    for (i, v) in x.iter().enumerate() {
        let t = i as f64 - mt;
        txx += t * (v - mx);
        ttt += t * t;
        xxx += (v - mx).powi(2);
    }
    xxx - txx * txx / ttt
}

/// Mean minimum of each calendar year with at least 350 minima, °C.
#[must_use]
pub fn yearly_means(record: &StationRecord) -> Vec<(i16, f64)> {
    record
        .years()
        .filter_map(|year| {
            let from = super::calendar::day_number(date(year, 1, 1));
            let to = super::calendar::day_number(date(year, 12, 31));
            let known: Vec<i64> = (from..=to)
                .map(|d| record.min_at(d))
                .filter(|m| *m != ABSENT)
                .map(i64::from)
                .collect();
            let sum: i64 = known.iter().sum();
            (known.len() >= LEAST_DAYS_OF_YEAR)
                .then(|| (year, sum as f64 / known.len() as f64 / 10.0))
        })
        .collect()
}

/// A notice where a step is sure (p < 0.01), high (0.5 K or more) and fits better than a straight line does.
#[must_use]
pub fn notice(record: &StationRecord) -> Option<Notice> {
    let years = yearly_means(record);
    let means: Vec<f64> = years.iter().map(|y| y.1).collect();
    let step = pettitt(&means)?;
    let told =
        step.p_value < LEAST_CHANCE && step.height.abs() >= LEAST_STEP_K && step.against_line < 1.0;
    let year = years.get(step.after)?.0;
    told.then(|| {
        Notice(format!(
            "From {year} on the yearly mean minimum is {:+.1} K from before: the station may have moved or \
             changed its thermometer, or nights have warmed ({} to {} compared; nothing was corrected).",
            step.height,
            date_of(record.first).year(),
            record.last().year(),
        ))
    })
}
