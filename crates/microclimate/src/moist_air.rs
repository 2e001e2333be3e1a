//! Moist air: vapour pressure, dew point, wet bulb, pressure.
//!
//! Vapour pressures in kPa, temperatures in °C. Each formula is checked by `tests/vectors/moist_air.toml`.

use crate::real::Real;

/// Saturation vapour pressure over water e° = 0.6108 exp[17.27 T/(T + 237.3)], kPa (FAO-56 eq. 11; −40 to 60 °C).
/// Equation 1 of docs/science.md.
#[inline(always)]
pub fn saturation_vapour_pressure_kpa<R: Real>(celsius: R) -> R {
    (celsius * 17.27 / (celsius + 237.3)).exp() * 0.6108
}

/// Saturation vapour pressure over ice 0.6108 exp[21.875 T/(T + 265.5)], kPa (Murray 1967; −60 to 0 °C).
/// Equation 2 of docs/science.md.
#[inline(always)]
pub fn saturation_over_ice_kpa<R: Real>(celsius: R) -> R {
    (celsius * 21.875 / (celsius + 265.5)).exp() * 0.6108
}

/// Over ice below 0 °C, over water above, and its slope de/dT = e a b/(T + b)², kPa and kPa K⁻¹.
#[inline(always)]
pub fn saturation_and_slope_kpa<R: Real>(celsius: R) -> (R, R) {
    let zero = R::of(0.0);
    let a = R::select_lt(celsius, zero, R::of(21.875), R::of(17.27));
    let b = R::select_lt(celsius, zero, R::of(265.5), R::of(237.3));
    let below = R::of(1.0) / (celsius + b);
    let e = (a * celsius * below).exp() * 0.6108;
    (e, e * a * b * below * below)
}

/// Dew point over water, the exact inverse of FAO-56 eq. 11: Td = 237.3 L/(17.27 − L), L = ln(e/0.6108); e > 0.
/// Equation 3 of docs/science.md.
#[must_use]
pub fn dew_point_c(vapour_kpa: f64) -> f64 {
    let l = (vapour_kpa / 0.6108).ln();
    237.3 * l / (17.27 - l)
}

/// Frost point, the inverse over ice: Ti = 265.5 L/(21.875 − L); e > 0.
#[must_use]
pub fn frost_point_c(vapour_kpa: f64) -> f64 {
    let l = (vapour_kpa / 0.6108).ln();
    265.5 * l / (21.875 - l)
}

/// Wet bulb by bisection of e = e°(Tw) − 0.000662 P (T − Tw) (FAO-56 eq. 15, ventilated psychrometer), °C.
/// Equation 4 of docs/science.md.
#[must_use]
pub fn wet_bulb_c(celsius: f64, vapour_kpa: f64, pressure_kpa: f64) -> f64 {
    let (mut low, mut high) = (celsius - 60.0, celsius);
    for _ in 0..60 {
        let tw = 0.5 * (low + high);
        let e = saturation_vapour_pressure_kpa(tw) - 0.000_662 * pressure_kpa * (celsius - tw);
        if e < vapour_kpa {
            low = tw;
        } else {
            high = tw;
        }
    }
    0.5 * (low + high)
}

/// Air pressure P = 101.3 [(293 − 0.0065 z)/293]^5.26, kPa (FAO-56 eq. 7; z in m, −400 to 5000).
/// Equation 5 of docs/science.md.
#[must_use]
pub fn pressure_kpa(elevation_m: f64) -> f64 {
    101.3 * ((293.0 - 0.0065 * elevation_m) / 293.0).powf(5.26)
}

/// Psychrometric constant γ = 0.665·10⁻³ P, kPa K⁻¹ (FAO-56 eq. 8).
/// Equation 5 of docs/science.md.
#[must_use]
pub fn psychrometric_constant_kpa_k(pressure_kpa: f64) -> f64 {
    0.665e-3 * pressure_kpa
}
