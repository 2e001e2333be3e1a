//! What the model does not know about a bed, drawn once per member, with its prior.

use crate::parameters::{SOIL_SUPPLY_EXPONENT, STILL_AIR_W_M2_K};
use crate::real::Real;

/// One draw of the uncertain parameters.
#[derive(Clone, Copy, Debug)]
pub struct Draws<R> {
    /// Share of the pores that hold water, 0.03 to 1.
    pub saturation: R,
    /// Share of free evaporation the soil surface gives, 0 to 1.
    pub soil_supply: R,
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
            soil_supply: R::splat(soil_supply(saturation)),
            convection: R::splat(1.0),
            leak: R::splat(1.0),
            transmissivity: R::splat(0.0),
            shelter: R::splat(1.0),
            still_air: R::splat(STILL_AIR_W_M2_K),
        }
    }
}

/// Share of free evaporation a soil surface gives at a saturation of the pores: S^1.5, at most 1 (from memory).
#[must_use]
pub fn soil_supply(saturation: f64) -> f64 {
    saturation.clamp(0.0, 1.0).powf(SOIL_SUPPLY_EXPONENT)
}
