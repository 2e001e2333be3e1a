//! Student's t distribution.

use crate::constants::DEGREES_OF_FREEDOM;

/// Distribution function of Student's t with [`DEGREES_OF_FREEDOM`] = 8 degrees of freedom.
///
/// F(t) = ½ + ½ s (1 + c/2 + 3c²/8 + 15c³/48), s = t/√(ν + t²), c = ν/(ν + t²).
/// Abramowitz & Stegun 26.7.4 (from memory). Checked by `student::the_distribution_is_the_tabled_one`.
/// Equation 85 of docs/science.md.
#[must_use]
pub fn cdf(t: f64) -> f64 {
    let nu = DEGREES_OF_FREEDOM;
    let (s, c) = (t / (nu + t * t).sqrt(), nu / (nu + t * t));
    0.5 + 0.5 * s * (1.0 + c * (0.5 + c * (0.375 + c * 0.3125)))
}

/// Logarithm of the density of Student's t of 8 degrees of freedom and scale √`variance` at `x`.
#[must_use]
pub fn ln_density(x: f64, variance: f64) -> f64 {
    let nu = DEGREES_OF_FREEDOM;
    LN_NORMALISER - 0.5 * variance.ln() - 0.5 * (nu + 1.0) * (1.0 + x * x / (nu * variance)).ln()
}

/// ln[Γ(9/2)/(Γ(4) √(8π))], Γ(9/2) = 105 √π/16 and Γ(4) = 6: ln(35/(32 √8)).
const LN_NORMALISER: f64 = -0.950_108_612_15;
