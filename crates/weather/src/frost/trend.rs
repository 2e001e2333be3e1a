//! Whether dates move: Mann–Kendall's test and Theil–Sen's slope.

use super::normal;
use crate::constants::LEAST_VALUES;

/// A trend in a series.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trend {
    /// Kendall's S.
    pub s: f64,
    /// Its variance without a trend, ties counted.
    pub variance: f64,
    /// Chance of so great an |S| without a trend, two-sided, 0 to 1.
    pub p_value: f64,
    /// Median slope over all pairs, in the unit of the values, for ten years.
    pub per_decade: f64,
    /// Values.
    pub count: usize,
}

/// S = Σᵢ<ⱼ sgn(xⱼ − xᵢ); Var S = [n(n−1)(2n+5) − Σ t(t−1)(2t+5)]/18 over groups of t ties;
/// Z = (S ∓ 1)/√Var S; slope = median (xⱼ − xᵢ)/(tⱼ − tᵢ).
///
/// `points` are (year, value). Source: Mann 1945, Kendall 1975; Theil 1950, Sen 1968 (from memory).
/// `None` for fewer than ten points. Checked by `frost::trend_agrees_with_another_library`.
/// Equation 38 of docs/science.md.
#[must_use]
pub fn trend(points: &[(f64, f64)]) -> Option<Trend> {
    let n = points.len();
    if n < LEAST_VALUES {
        return None;
    }
    let (mut s, mut slopes) = (0.0, Vec::with_capacity(n * (n - 1) / 2));
    for (i, (t, x)) in points.iter().enumerate() {
        for (u, y) in &points[i + 1..] {
            s += f64::from(i8::from(y > x)) - f64::from(i8::from(y < x));
            if u != t {
                slopes.push((y - x) / (u - t));
            }
        }
    }
    let mut values: Vec<f64> = points.iter().map(|p| p.1).collect();
    values.sort_unstable_by(f64::total_cmp);
    let weight = |t: f64| t * (t - 1.0) * (2.0 * t + 5.0);
    let ties: f64 = values.chunk_by(|a, b| a == b).map(|group| weight(group.len() as f64)).sum();
    let variance = (weight(n as f64) - ties) / 18.0;
    let z = if variance > 0.0 { (s.abs() - 1.0).max(0.0) / variance.sqrt() } else { 0.0 };
    if slopes.is_empty() {
        return None;
    }
    let (middle, even) = (slopes.len() / 2, slopes.len().is_multiple_of(2));
    let (below, at, _) = slopes.select_nth_unstable_by(middle, f64::total_cmp);
    let mut slope = *at;
    if even {
        slope = (slope + below.iter().copied().fold(f64::NEG_INFINITY, f64::max)) / 2.0;
    }
    let p_value = (2.0 * (1.0 - normal::cdf(z))).min(1.0);
    Some(Trend { s, variance, p_value, per_decade: slope * 10.0, count: n })
}
