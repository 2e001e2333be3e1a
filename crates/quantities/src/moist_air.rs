//! Moist air: saturation vapour pressure, dew point, frost point, wet bulb, air pressure.
//!
//! Vapour pressures in kPa, temperatures in °C. Each formula is checked by `tests/vectors/moist_air.toml` of
//! `microclimate`. The saturation formulas are written once, as [`Magnus`], for one number and for many side by side: who
//! computes with many brings their own exponential.

use std::ops::{Add, Div, Mul};

use crate::constants as c;

/// A saturation formula of Magnus' form e = 0.6108 exp[a T/(T + b)].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Magnus {
    /// Coefficient a.
    pub a: f64,
    /// Coefficient b, °C.
    pub b: f64,
}

/// Over water (FAO-56 eq. 11; −40 to 60 °C).
pub const OVER_WATER: Magnus = Magnus { a: 17.27, b: 237.3 };
/// Over ice (Murray 1967; −60 to 0 °C).
pub const OVER_ICE: Magnus = Magnus { a: 21.875, b: 265.5 };

impl Magnus {
    /// Saturation vapour pressure e = 0.6108 exp[a T/(T + b)], kPa, with the exponential of the caller's kind of number.
    #[inline(always)]
    pub fn saturation_kpa<N>(&self, celsius: N, exp: impl FnOnce(N) -> N) -> N
    where
        N: Copy + Add<f64, Output = N> + Mul<f64, Output = N> + Div<Output = N>,
    {
        exp(celsius * self.a / (celsius + self.b)) * c::SATURATION_AT_ZERO_KPA
    }

    /// Temperature at which air of this vapour pressure is saturated, the exact inverse: T = b L/(a − L),
    /// L = ln(e/0.6108); e > 0.
    #[must_use]
    pub fn temperature_c(&self, vapour_kpa: f64) -> f64 {
        let l = (vapour_kpa / c::SATURATION_AT_ZERO_KPA).ln();
        self.b * l / (self.a - l)
    }
}

/// Saturation vapour pressure over water e° = 0.6108 exp[17.27 T/(T + 237.3)], kPa (FAO-56 eq. 11; −40 to 60 °C).
/// Equation 1 of docs/science.md.
#[must_use]
pub fn saturation_over_water_kpa(celsius: f64) -> f64 {
    OVER_WATER.saturation_kpa(celsius, f64::exp)
}

/// Saturation vapour pressure over ice 0.6108 exp[21.875 T/(T + 265.5)], kPa (Murray 1967; −60 to 0 °C).
/// Equation 2 of docs/science.md.
#[must_use]
pub fn saturation_over_ice_kpa(celsius: f64) -> f64 {
    OVER_ICE.saturation_kpa(celsius, f64::exp)
}

/// Dew point over water, the exact inverse of FAO-56 eq. 11: Td = 237.3 L/(17.27 − L), L = ln(e/0.6108); e > 0.
/// Equation 3 of docs/science.md.
#[must_use]
pub fn dew_point_c(vapour_kpa: f64) -> f64 {
    OVER_WATER.temperature_c(vapour_kpa)
}

/// Frost point, the inverse over ice: Ti = 265.5 L/(21.875 − L); e > 0.
#[must_use]
pub fn frost_point_c(vapour_kpa: f64) -> f64 {
    OVER_ICE.temperature_c(vapour_kpa)
}

/// Wet bulb by bisection of e = e°(Tw) − 0.000662 P (T − Tw) (FAO-56 eq. 15, ventilated psychrometer), °C.
/// Equation 4 of docs/science.md.
#[must_use]
pub fn wet_bulb_c(celsius: f64, vapour_kpa: f64, pressure_kpa: f64) -> f64 {
    let (mut low, mut high) = (celsius - 60.0, celsius);
    for _ in 0..60 {
        let tw = 0.5 * (low + high);
        let cooled = c::PSYCHROMETER_COEFFICIENT * pressure_kpa * (celsius - tw);
        if saturation_over_water_kpa(tw) - cooled < vapour_kpa {
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
    let kelvin = c::SEA_LEVEL_TEMPERATURE_K - c::LAPSE_RATE_K_M * elevation_m;
    c::SEA_LEVEL_PRESSURE_KPA * (kelvin / c::SEA_LEVEL_TEMPERATURE_K).powf(c::PRESSURE_EXPONENT)
}

/// Psychrometric constant γ = 0.665·10⁻³ P, kPa K⁻¹ (FAO-56 eq. 8).
/// Equation 5 of docs/science.md.
#[must_use]
pub fn psychrometric_constant_kpa_k(pressure_kpa: f64) -> f64 {
    c::PSYCHROMETRIC_PER_KPA * pressure_kpa
}
