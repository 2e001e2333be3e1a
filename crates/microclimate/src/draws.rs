//! What the model does not know about a bed, drawn once per member, with its prior.

use crate::constants::{SOIL_RESISTANCE_LOG, SOIL_RESISTANCE_SLOPE};
use crate::parameters::STILL_AIR_W_M2_K;
use crate::real::Real;

/// One draw of the uncertain parameters.
#[derive(Clone, Copy, Debug)]
pub struct Draws<R> {
    /// Share of the pores that hold water, 0.03 to 1.
    pub saturation: R,
    /// Resistance of the soil surface to its vapour, s/m.
    pub soil_resistance_s_m: R,
    /// Times the free-convection coefficient inside (competing ones differ threefold).
    pub convection: R,
    /// Times the air change through cloth and gaps.
    pub leak: R,
    /// Added to the long-wave transmissivity of each layer.
    pub transmissivity: R,
    /// Times the wind that reaches the bed.
    pub shelter: R,
    /// Conductance to the air above on a still night, W m⁻² K⁻¹.
    pub still_air: R,
}

impl<R: Real> Draws<R> {
    /// The middle of every prior, for a soil as wet as `saturation`.
    #[must_use]
    pub fn central(saturation: f64) -> Self {
        Self {
            saturation: R::splat(saturation),
            soil_resistance_s_m: R::splat(soil_resistance_s_m(saturation)),
            convection: R::splat(1.0),
            leak: R::splat(1.0),
            transmissivity: R::splat(0.0),
            shelter: R::splat(1.0),
            still_air: R::splat(STILL_AIR_W_M2_K),
        }
    }
}

/// Resistance of a soil surface to its vapour at a saturation of the pores, exp(8.206 − 4.255 S) s/m (Sellers and others
/// 1992, from memory). Range: S 0 to 1.
/// Checked by `vectors/convection.toml`.
/// Equation 15 of docs/science.md.
#[must_use]
pub fn soil_resistance_s_m(saturation: f64) -> f64 {
    (SOIL_RESISTANCE_LOG - SOIL_RESISTANCE_SLOPE * saturation.clamp(0.0, 1.0)).exp()
}
