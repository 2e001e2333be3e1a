//! Saturation vapour pressure for one number or many members: the formulas of `quantities::moist_air`.

use quantities::constants::SATURATION_AT_ZERO_KPA;
use quantities::moist_air::{OVER_ICE, OVER_WATER};

use crate::real::Real;

/// Saturation vapour pressure over water, kPa.
/// Checked by `tests/vectors/moist_air.toml`.
#[inline(always)]
pub fn saturation_vapour_pressure_kpa<R: Real>(celsius: R) -> R {
    OVER_WATER.saturation_kpa(celsius, R::exp)
}

/// Over ice below 0 °C, over water above, and its slope de/dT = e a b/(T + b)², kPa and kPa K⁻¹.
#[inline(always)]
pub fn saturation_and_slope_kpa<R: Real>(celsius: R) -> (R, R) {
    let zero = R::splat(0.0);
    let a = R::select_lt(celsius, zero, R::splat(OVER_ICE.a), R::splat(OVER_WATER.a));
    let b = R::select_lt(celsius, zero, R::splat(OVER_ICE.b), R::splat(OVER_WATER.b));
    let below = R::splat(1.0) / (celsius + b);
    let e = (a * celsius * below).exp() * SATURATION_AT_ZERO_KPA;
    (e, e * a * b * below * below)
}
