//! The standard normal distribution.

/// Φ(z) = ½ + φ(z)(z + z³/3 + z⁵/(3·5) + …).
///
/// Source: Marsaglia 2004, Journal of Statistical Software 11(4) (from memory). Beyond ±8 it is 0 or 1.
/// Checked by `frost::the_normal_distribution_is_the_tabled_one`.
/// Equation 36 of docs/science.md.
#[must_use]
pub fn cdf(z: f64) -> f64 {
    if z < -8.0 {
        return 0.0;
    }
    if z > 8.0 {
        return 1.0;
    }
    let (mut sum, mut term, mut k) = (z, z, 1.0);
    while f64::abs(term) > 1e-17 * f64::abs(sum) {
        k += 2.0;
        term *= z * z / k;
        sum += term;
    }
    0.5 + sum * (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt()
}

/// z with Φ(z) = p, by bisection to 1e-12; −8 and 8 at the ends.
#[must_use]
pub fn quantile(p: f64) -> f64 {
    let (mut low, mut high) = (-8.0, 8.0);
    while high - low > 1e-12 {
        let middle = (low + high) / 2.0;
        if cdf(middle) < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    (low + high) / 2.0
}
