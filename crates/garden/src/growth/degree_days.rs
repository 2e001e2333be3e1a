//! Degree-days of one day from its minimum and maximum.
//!
//! T(t) is the temperature through the day, b the base below which nothing grows, u the upper temperature above which
//! growth is no faster (the horizontal cutoff): DD = mean of min(max(T, b), u) − b = A(b) − A(u), where A(x) is the
//! mean of max(T − x, 0). Each method is a different T(t).

use std::f64::consts::{FRAC_PI_2, PI};

/// The course of temperature through the day that is assumed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// One sine wave from minimum to maximum (Baskerville & Emin 1969).
    Sine,
    /// Straight up from minimum to maximum and straight down again (single triangle).
    Triangle,
    /// No course: minimum and maximum are each brought between base and upper, then averaged (the "50/86" of maize).
    Clipped,
    /// No course: the mean of minimum and maximum, brought between base and upper.
    Average,
}

/// Degree-days of a day, K·d, at least 0 and at most `upper_c` − `base_c`.
///
/// With M = (Tx + Tn)/2, α = (Tx − Tn)/2 and Tn < x < Tx:
/// sine A(x) = [(M − x)(π/2 − θ) + α cos θ]/π with θ = arcsin((x − M)/α); triangle A(x) = (Tx − x)²/(2(Tx − Tn));
/// and for both A(x) = M − x where x ≤ Tn, 0 where x ≥ Tx. Clipped: (Tx' + Tn')/2 − b.
/// Average: (Tx + Tn)/2 − b, itself clipped.
/// Units: °C and K·d (or °F and °F·d throughout). Range: any finite numbers; a minimum above the maximum is taken as
/// the maximum and the other way round; an upper below the base gives 0.
/// Source: Baskerville & Emin 1969 and the single triangle of the University of California's pest tables, both from
/// memory; the clipped form and its example are NOAA's (50/86).
/// Checked by `growth::degree_days_are_the_mean_of_the_clipped_course` and `growth::published_degree_days`.
/// Equation 54 of docs/science.md.
#[must_use]
pub fn degree_days(tmin_c: f64, tmax_c: f64, base_c: f64, upper_c: f64, method: Method) -> f64 {
    let (low, high) = (tmin_c.min(tmax_c), tmin_c.max(tmax_c));
    let upper_c = upper_c.max(base_c);
    let above = |x: f64| match method {
        Method::Sine => above_sine(low, high, x),
        Method::Triangle => above_triangle(low, high, x),
        Method::Average => (0.5 * (low + high) - x).max(0.0),
        Method::Clipped => 0.5 * ((low - x).max(0.0) + (high - x).max(0.0)),
    };
    (above(base_c) - above(upper_c)).max(0.0).min(upper_c - base_c)
}

fn above_sine(low: f64, high: f64, x: f64) -> f64 {
    let (mean, half) = (0.5 * (high + low), 0.5 * (high - low));
    if x <= low {
        mean - x
    } else if x >= high {
        0.0
    } else {
        let theta = ((x - mean) / half).clamp(-1.0, 1.0).asin();
        ((mean - x) * (FRAC_PI_2 - theta) + half * theta.cos()) / PI
    }
}

fn above_triangle(low: f64, high: f64, x: f64) -> f64 {
    if x <= low {
        0.5 * (high + low) - x
    } else if x >= high {
        0.0
    } else {
        (high - x).powi(2) / (2.0 * (high - low))
    }
}
