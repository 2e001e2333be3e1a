//! The surface layer of the air above a bed: logarithmic wind profile and stability.

use crate::bed::Canopy;
use crate::canopy;
use crate::constants as c;
use crate::parameters as p;
use crate::real::Real;

/// A logarithmic profile u = (u*/κ) ln((z − d)/z₀).
#[derive(Clone, Copy, Debug)]
pub struct Profile {
    /// Displacement d, m.
    displacement_m: f64,
    /// Roughness length z₀, m.
    roughness_m: f64,
    /// Height above d from which heat rises to the screen, m.
    source_m: f64,
    /// Height above d at which the wind meets plants or cover, m.
    top_m: f64,
}

impl Profile {
    /// Over an open bed: ⅔ h and 0.123 h of its plants; heat comes from their upper leaves.
    #[must_use]
    pub fn over_plants(plants: &Canopy) -> Self {
        let (displacement_m, roughness_m) =
            (canopy::displacement_m(plants), canopy::roughness_m(plants));
        let top_m = plants.height_m.min(p::GREATEST_LEVEL_M) - displacement_m;
        Self { displacement_m, roughness_m, source_m: top_m.max(roughness_m), top_m }
    }

    /// Over a cover `crown_m` high that stands alone in a garden.
    #[must_use]
    pub fn over_cover(crown_m: f64) -> Self {
        let top_m = crown_m.clamp(p::LEAST_LEVEL_M, p::GREATEST_LEVEL_M);
        Self { displacement_m: 0.0, roughness_m: p::ROUGHNESS_M, source_m: top_m, top_m }
    }

    /// ln of a height above ground, the displacement taken off, over the roughness.
    fn log(&self, height_m: f64) -> f64 {
        ((height_m.max(p::SCREEN_HEIGHT_M) - self.displacement_m) / self.roughness_m).ln()
    }

    /// Friction velocity over the wind at a height, κ/ln((z − d)/z₀).
    fn friction(&self, height_m: f64) -> f64 {
        c::VON_KARMAN / self.log(height_m)
    }

    /// Wind at the top of plants or cover over the wind at a height; 1 is added under the logarithm, so that it stays
    /// positive close to the ground.
    #[must_use]
    pub fn top_share(&self, height_m: f64) -> f64 {
        (self.top_m / self.roughness_m).ln_1p() / self.log(height_m)
    }

    /// Wind at screen height over the wind at a height.
    #[must_use]
    pub fn screen_share(&self, height_m: f64) -> f64 {
        self.log(p::SCREEN_HEIGHT_M) / self.log(height_m)
    }

    /// Aerodynamic conductance from the roughness up to screen height, W m⁻² K⁻¹, for air of `capacity` J m⁻³ K⁻¹ and neutral
    /// stratification: g = ρ c_p κ u*/ln((2 − d)/z₀), u* from the wind u at z_ref.
    /// Equation 98 of docs/science.md.
    #[inline(always)]
    pub fn neutral_conductance<R: Real>(&self, capacity: R, wind: R, wind_height_m: f64) -> R {
        let log = self.log(p::SCREEN_HEIGHT_M);
        capacity * wind * (self.friction(wind_height_m) * c::VON_KARMAN / log)
    }

    /// The way from the roughness to the screen over that from where the heat rises, ln((2 − d)/z₀)/ln((2 − d)/source).
    /// Equation 98 of docs/science.md.
    #[must_use]
    pub fn shorter_way(&self) -> f64 {
        let log = ((p::SCREEN_HEIGHT_M - self.displacement_m) / self.source_m).ln();
        self.log(p::SCREEN_HEIGHT_M) / log.max(p::LEAST_LOG)
    }
}

/// Stability factor of the exchange aloft, Ri = g z (T_air − T_s)/(T u²), z = 2 m and u there: stable
/// 1/(1 + 10 Ri (1 + 10 Ri)); unstable √(1 + 16 |Ri|), at most 4 (Louis 1979, from memory).
///
/// The stable side is a closed form of Beljaars & Holtslag 1991: solved for z₀ = 2 cm and z 2 to 10 m theirs lies within
/// 0.04 of it for Ri 0 to 4 (`checks/references/surface_layer.py`). Checked by `vectors/convection.toml`.
/// Equation 14 of docs/science.md.
#[inline(always)]
pub fn stability_factor<R: Real>(air_c: R, surface_c: R, wind: R) -> R {
    let (zero, one) = (R::splat(0.0), R::splat(1.0));
    let speed = wind.max(R::splat(p::LEAST_RICHARDSON_WIND_M_S));
    let ri = (air_c - surface_c)
        * (c::GRAVITY_M_S2 * p::SCREEN_HEIGHT_M / c::BUOYANCY_TEMPERATURE_K)
        / (speed * speed);
    let stable = ri.max(zero) * c::STABLE_SLOPE;
    let unstable = (-ri).max(zero);
    let damped = one / (stable * (stable + 1.0) + 1.0);
    damped * (unstable * c::LOUIS_UNSTABLE + 1.0).sqrt().min(R::splat(p::GREATEST_STABILITY))
}
