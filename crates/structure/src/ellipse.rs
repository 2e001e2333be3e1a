//! The half-ellipse with its feet on the axis.

use std::f64::consts::FRAC_PI_2;

use crate::elliptic::Elliptic;
use crate::outline::{Outline, Point};

/// Span over length and rise over length for arctan of rise over half the span, rad.
pub(crate) fn ratios(parameter: f64) -> (f64, f64) {
    let (b, a) = parameter.sin_cos();
    let (long, short) = (a.max(b), a.min(b));
    // Length 2 a E(e), e² = 1 − b²/a².
    let length = 2.0 * long * Elliptic::new((1.0 - (short / long).powi(2)).sqrt()).second;
    (2.0 * a / length, b / length)
}

/// Points at even arc length: the angle of the next is found by Newton's method on the length of the piece.
pub(crate) fn outline(span_m: f64, rise_m: f64, pieces: usize) -> Outline {
    let (a, b) = (0.5 * span_m, rise_m);
    let length = 0.5 * span_m / ratios(b.atan2(a)).0;
    // Angle from the crown as a function of arc length, table of the right half at half pieces.
    let halves = pieces;
    let step = length / halves as f64;
    let mut angles = vec![0.0];
    let mut t: f64 = 0.0;
    for _ in 1..halves {
        let mut dt = step / speed(a, b, t);
        for _ in 0..8 {
            dt -= (travelled(a, b, t, dt) - step) / speed(a, b, t + dt);
        }
        t = (t + dt).min(FRAC_PI_2);
        angles.push(t);
    }
    angles.push(FRAC_PI_2);
    Outline::new(2.0 * length, pieces, |s| {
        let t = angles[((s.abs() / step).round() as usize).min(halves)].copysign(s);
        Point {
            x_m: a * t.sin(),
            z_m: b * t.cos(),
            tangent_rad: (-b * t.sin()).atan2(a * t.cos()),
            curvature_per_m: a * b / speed(a, b, t).powi(3),
        }
    })
}

/// Arc length over angle, m/rad, at an angle from the crown.
fn speed(a: f64, b: f64, t: f64) -> f64 {
    (a * t.cos()).hypot(b * t.sin())
}

/// Arc length from `t` over `dt`, by two Gauss points on each of sixteen parts.
fn travelled(a: f64, b: f64, t: f64, dt: f64) -> f64 {
    let half = dt / 32.0;
    let off = half / 3f64.sqrt();
    (0..16)
        .map(|i| t + half * f64::from(2 * i + 1))
        .map(|middle| half * (speed(a, b, middle - off) + speed(a, b, middle + off)))
        .sum()
}
