//! The surface layer of the air above a bed: logarithmic wind profile and stability.

use crate::bed::Canopy;
use crate::canopy;
use crate::constants as c;
use crate::parameters as p;
use crate::real::Real;

/// A logarithmic profile u = (u*/κ) ln((z − d)/z₀) over a bed, its logarithms taken once.
#[derive(Clone, Copy, Debug)]
pub struct Profile {
    /// ln((2 − d)/z₀) at screen height.
    screen: f64,
    /// The same at the height of the wind.
    wind: f64,
    /// ln((2 − d)/source): from where the heat rises to the screen.
    source: f64,
    /// ln(1 + top/z₀), where the wind meets plants or cover; 1 is added so that it stays positive close to the ground.
    top: f64,
}

impl Profile {
    /// Over an open bed: ⅔ h and 0.123 h of its plants; heat comes from their upper leaves.
    #[must_use]
    pub fn over_plants(plants: &Canopy, wind_height_m: f64) -> Self {
        let (displacement_m, roughness_m) =
            (canopy::displacement_m(plants), canopy::roughness_m(plants));
        let top_m = plants.height_m.min(p::GREATEST_LEVEL_M) - displacement_m;
        Self::new(wind_height_m, displacement_m, roughness_m, (top_m.max(roughness_m), top_m))
    }

    /// Over a cover `crown_m` high that stands alone in a garden.
    #[must_use]
    pub fn over_cover(crown_m: f64, wind_height_m: f64) -> Self {
        let top_m = crown_m.clamp(p::LEAST_LEVEL_M, p::GREATEST_LEVEL_M);
        Self::new(wind_height_m, 0.0, p::ROUGHNESS_M, (top_m, top_m))
    }

    /// Displacement d, roughness length z₀, and above d where the heat rises and where the wind meets plants or cover, m.
    fn new(
        wind_height_m: f64,
        displacement_m: f64,
        roughness_m: f64,
        (source_m, top_m): (f64, f64),
    ) -> Self {
        let log = |height_m: f64| ((height_m - displacement_m) / roughness_m).ln();
        Self {
            screen: log(p::SCREEN_HEIGHT_M),
            wind: log(wind_height_m.max(p::SCREEN_HEIGHT_M)),
            source: ((p::SCREEN_HEIGHT_M - displacement_m) / source_m).ln(),
            top: (top_m / roughness_m).ln_1p(),
        }
    }

    /// Wind at the top of plants or cover over the wind that is given.
    #[must_use]
    pub fn top_share(&self) -> f64 {
        self.top / self.wind
    }

    /// Wind at screen height over the wind that is given.
    #[must_use]
    pub fn screen_share(&self) -> f64 {
        self.screen / self.wind
    }

    /// Aerodynamic conductance from the roughness up to screen height, W m⁻² K⁻¹, for air of `capacity` J m⁻³ K⁻¹ and neutral
    /// stratification: g = ρ c_p κ u*/ln((2 − d)/z₀), u* = κ u/ln((z − d)/z₀) of the wind u that is given.
    /// Equation 98 of docs/science.md.
    #[inline(always)]
    pub fn neutral_conductance<R: Real>(&self, capacity: R, wind: R) -> R {
        let friction = c::VON_KARMAN / self.wind;
        capacity * wind * (friction * c::VON_KARMAN / self.screen)
    }

    /// The way from the roughness to the screen over that from where the heat rises, ln((2 − d)/z₀)/ln((2 − d)/source).
    /// Equation 98 of docs/science.md.
    #[must_use]
    pub fn shorter_way(&self) -> f64 {
        self.screen / self.source.max(p::LEAST_LOG)
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
