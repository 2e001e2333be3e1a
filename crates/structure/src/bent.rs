//! Wire bent round a former: an arc in the middle and straight legs tangent to it down to the ground.
//!
//! With half-angle φ of the arc and legs t: length 2rφ + 2t, span 2r sin φ + 2t cos φ, rise r(1 − cos φ) + t sin φ.
//! Checked by `shapes::any_two_give_the_third` and `shapes::areas_of_known_curves`.

use std::f64::consts::FRAC_PI_2;

use crate::constants::SIZES_M;
use crate::error::{Error, within};
use crate::outline::{Point, arc_point};
use crate::roots;

/// The size of such a hoop, and half the angle of its arc.
pub(crate) struct Bent {
    pub length_m: f64,
    pub span_m: f64,
    pub rise_m: f64,
    pub angle_rad: f64,
}

fn span(radius: f64, angle: f64, leg: f64) -> f64 {
    2.0 * (radius * angle.sin() + leg * angle.cos())
}

fn rise(radius: f64, angle: f64, leg: f64) -> f64 {
    radius * (1.0 - angle.cos()) + leg * angle.sin()
}

/// From the length above ground and the span: L = 2rφ + 2t, span = 2r sin φ + 2t cos φ, rise = r(1 − cos φ) + t sin φ, φ half
/// the angle of the arc and t the length of a leg, m.
/// Equation 23 of docs/science.md.
pub(crate) fn from_length_and_span(radius: f64, length: f64, wide: f64) -> Result<Bent, Error> {
    within("the radius of the bend", radius, "m", SIZES_M)?;
    let most = (0.5 * length / radius).min(FRAC_PI_2);
    let leg = |angle: f64| 0.5 * length - radius * angle;
    within("the span", wide, "m", (span(radius, most, leg(most)), length * (1.0 - 1e-9)))?;
    // The span falls with the angle, by the length of the leg.
    let angle = roots::root_of_rising(|p| wide - span(radius, p, leg(p)), 0.0, most);
    Ok(Bent {
        length_m: length,
        span_m: wide,
        rise_m: rise(radius, angle, leg(angle)),
        angle_rad: angle,
    })
}

pub(crate) fn from_length_and_rise(radius: f64, length: f64, high: f64) -> Result<Bent, Error> {
    within("the radius of the bend", radius, "m", SIZES_M)?;
    let most = (0.5 * length / radius).min(FRAC_PI_2);
    let leg = |angle: f64| 0.5 * length - radius * angle;
    within("the rise", high, "m", (1e-6 * length, rise(radius, most, leg(most))))?;
    let angle = roots::root_of_rising(|p| rise(radius, p, leg(p)) - high, 0.0, most);
    Ok(Bent {
        length_m: length,
        span_m: span(radius, angle, leg(angle)),
        rise_m: high,
        angle_rad: angle,
    })
}

pub(crate) fn from_span_and_rise(radius: f64, wide: f64, high: f64) -> Result<Bent, Error> {
    within("the radius of the bend", radius, "m", SIZES_M)?;
    let most = (0.5 * wide / radius).min(1.0).asin();
    // A span of exactly two radii has upright legs of any length.
    let leg = |angle: f64| {
        if wide > 2.0 * radius * (1.0 - 1e-12) && angle > FRAC_PI_2 - 1e-9 {
            high - radius
        } else {
            ((0.5 * wide - radius * angle.sin()) / angle.cos()).max(0.0)
        }
    };
    let highest = if wide < 2.0 * radius { rise(radius, most, 0.0) } else { 100.0 * wide };
    within("the rise", high, "m", (1e-6 * wide, highest))?;
    let angle = roots::root_of_rising(|p| rise(radius, p, leg(p)) - high, 0.0, most);
    Ok(Bent {
        length_m: 2.0 * (radius * angle + leg(angle)),
        span_m: wide,
        rise_m: high,
        angle_rad: angle,
    })
}

/// Point at arc length `s` right of the crown.
pub(crate) fn point(radius: f64, angle: f64, crown: f64, s: f64) -> Point {
    let straight = s.abs() - radius * angle;
    if straight <= 0.0 {
        return arc_point(radius, crown, s);
    }
    let end = arc_point(radius, crown, radius * angle);
    Point {
        x_m: (end.x_m + straight * angle.cos()).copysign(s),
        z_m: end.z_m - straight * angle.sin(),
        tangent_rad: -angle.copysign(s),
        curvature_per_m: 0.0,
    }
}
