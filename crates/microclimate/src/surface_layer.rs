//! The surface layer of the air above a bed: logarithmic wind profile and stability.

use crate::constants as c;
use crate::parameters as p;
use crate::real::Real;

/// ln((z + z₀)/z₀) of the logarithmic wind profile at a height z, m, over the roughness [`p::ROUGHNESS_M`].
pub fn log_profile(height_m: f64) -> f64 {
    ((height_m + p::ROUGHNESS_M) / p::ROUGHNESS_M).ln()
}

/// Aerodynamic conductance from a level (m) up to screen height, W m⁻² K⁻¹, for air of `capacity` J m⁻³ K⁻¹ and neutral
/// stratification: g = ρ c_p κ u*/ln(2/z), u* = κ u/ln(z_ref/z₀) of the wind u at z_ref.
#[inline(always)]
pub fn neutral_conductance<R: Real>(capacity: R, wind: R, wind_height_m: f64, level_m: f64) -> R {
    let friction = wind * (c::VON_KARMAN / log_profile(wind_height_m));
    let log = (p::SCREEN_HEIGHT_M / level_m).ln().max(p::LEAST_LOG);
    capacity * friction * (c::VON_KARMAN / log)
}

/// Stability factor of the exchange aloft, Louis 1979 in bulk form (from memory):
/// Ri = g z (T_air − T_s)/(T u²), z = 2 m and u there; stable 1/(1 + 10 Ri/√(1 + 5 Ri)), at least 0.3 because turbulence over
/// uneven ground comes in bursts on the stillest nights; unstable √(1 + 16 |Ri|), at most 4.
/// Equation 14 of docs/science.md.
#[inline(always)]
pub fn stability_factor<R: Real>(air_c: R, surface_c: R, wind: R) -> R {
    let zero = R::splat(0.0);
    let speed = wind.max(R::splat(p::LEAST_RICHARDSON_WIND_M_S));
    let ri = (air_c - surface_c)
        * (c::GRAVITY_M_S2 * p::SCREEN_HEIGHT_M / c::BUOYANCY_TEMPERATURE_K)
        / (speed * speed);
    let stable = ri.max(zero);
    let unstable = (-ri).max(zero);
    let damped = R::splat(1.0)
        / (stable * c::LOUIS_STABLE / (stable * c::LOUIS_STABLE_ROOT + 1.0).sqrt() + 1.0);
    let damped = damped.max(R::splat(p::LEAST_STABILITY));
    damped * (unstable * c::LOUIS_UNSTABLE + 1.0).sqrt().min(R::splat(p::GREATEST_STABILITY))
}
