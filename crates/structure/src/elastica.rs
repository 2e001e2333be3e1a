//! The elastica: what a springy rod does when its ends are pushed together and free to turn.
//!
//! With modulus k = sin(α/2), α the slope at the feet: span/L = 2E/K − 1, rise/L = k/K, thrust P = 4K² EI/L²,
//! greatest curvature 4kK/L (Timoshenko & Gere, *Theory of Elastic Stability*, table 2-4, from memory).

use std::f64::consts::PI;

use crate::elliptic::Elliptic;
use crate::outline::{Outline, Point};

/// Slope at the feet at which they meet, rad: 2E = K.
pub(crate) const CLOSED: f64 = 2.281_318_306_840_647;
/// Slope at the feet at which the crown stands highest over the length, rad.
pub(crate) const HIGHEST: f64 = 1.985_211_767_006_301;

fn modulus(slope: f64) -> f64 {
    (0.5 * slope).sin()
}

/// Span over length and rise over length for a slope at the feet, rad.
/// Checked by `shapes::the_elastica_table`.
pub(crate) fn ratios(slope: f64) -> (f64, f64) {
    let k = modulus(slope);
    let e = Elliptic::new(k);
    (2.0 * e.second / e.first - 1.0, k / e.first)
}

/// Greatest curvature times length.
pub(crate) fn greatest_curvature(slope: f64) -> f64 {
    let k = modulus(slope);
    4.0 * k * Elliptic::new(k).first
}

/// Thrust between the feet over the Euler load π² EI/L², for a slope at the feet from 0 to below π rad.
/// Checked by `shapes::the_elastica_table`.
/// Equation 22 of docs/science.md.
#[must_use]
pub fn thrust_over_euler(slope_rad: f64) -> f64 {
    (2.0 * Elliptic::new(modulus(slope_rad)).first / PI).powi(2)
}

/// Points of the elastica of a slope at the feet.
pub(crate) fn outline(length_m: f64, slope: f64, pieces: usize) -> Outline {
    let k = modulus(slope);
    let e = Elliptic::new(k);
    let rate = 2.0 * e.first / length_m;
    let rise = 2.0 * k / rate;
    Outline::new(length_m, pieces, |s| {
        let u = rate * s;
        let (phi, second) = e.amplitude(u);
        Point {
            x_m: (2.0 * second - u) / rate,
            z_m: rise - 2.0 * k / rate * (1.0 - phi.cos()),
            tangent_rad: -2.0 * (k * phi.sin()).asin(),
            curvature_per_m: 2.0 * k * rate * phi.cos(),
        }
    })
}
