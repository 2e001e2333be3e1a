//! Quantiles of a sample.

/// Type 7 of Hyndman & Fan: h = (n − 1) p, x₍⌊h⌋₎ + (h − ⌊h⌋)(x₍⌊h⌋₊₁₎ − x₍⌊h⌋₎), of ascending values; `None` when empty.
///
/// Source: Hyndman & Fan 1996, American Statistician 50:361 (from memory); numpy's and R's default.
/// Checked by `quantile::quantiles_of_small_samples`.
/// Equation 35 of docs/science.md.
#[must_use]
pub fn type_7(ascending: &[f64], p: f64) -> Option<f64> {
    at(ascending, (ascending.len() as f64 - 1.0) * p.clamp(0.0, 1.0))
}

/// Weibull's plotting positions p = m/(n + 1) (type 6), held at the least and the greatest value.
///
/// Source: plotting positions of hydrology, from memory. Checked by `quantile::quantiles_of_small_samples`.
/// Equation 35 of docs/science.md.
#[must_use]
pub fn weibull(ascending: &[f64], p: f64) -> Option<f64> {
    at(ascending, (ascending.len() as f64 + 1.0) * p.clamp(0.0, 1.0) - 1.0)
}

fn at(ascending: &[f64], position: f64) -> Option<f64> {
    let top = ascending.len().checked_sub(1)?;
    let h = position.clamp(0.0, top as f64);
    let below = h.floor() as usize;
    let (a, b) = (ascending[below], ascending[(below + 1).min(top)]);
    Some(a + (h - h.floor()) * (b - a))
}

/// Mean; `None` when empty.
#[must_use]
pub fn mean(x: &[f64]) -> Option<f64> {
    (!x.is_empty()).then(|| x.iter().sum::<f64>() / x.len() as f64)
}

/// Standard deviation with n − 1; `None` for fewer than two values.
#[must_use]
pub fn standard_deviation(x: &[f64]) -> Option<f64> {
    let m = mean(x)?;
    let squares: f64 = x.iter().map(|v| (v - m).powi(2)).sum();
    (x.len() > 1).then(|| (squares / (x.len() as f64 - 1.0)).sqrt())
}
