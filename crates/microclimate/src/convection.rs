//! Convection of leaves, ground and covers: free and forced exchange through their boundary layers.

use crate::constants as c;
use crate::real::Real;

/// Free convection on the faces inside a cover h = C |ΔT|^(1/3), W m⁻² K⁻¹ (Takakura, *Climate under Cover*, ch. 4).
/// Checked by `vectors/convection.toml`.
/// Equation 12 of docs/science.md.
#[inline(always)]
pub fn free_convection_inside<R: Real>(coefficient: R, dt: R) -> R {
    coefficient * dt.abs().cbrt()
}

/// Free convection from a level face to the air above it h = 1.52 ΔT^(1/3), W m⁻² K⁻¹, where it is ΔT warmer; else 0.
///
/// Source: a heated plate facing up, turbulent, in any textbook of heat transfer, from memory. Range: ΔT 1 to 100 K.
/// Checked by `vectors/convection.toml` and `laws::loose_straw_left_on_in_high_summer_stays_within_range`.
/// Equation 12 of docs/science.md.
#[inline(always)]
pub fn free_convection_above<R: Real>(dt: R) -> R {
    dt.max(R::splat(0.0)).cbrt() * c::FREE_ABOVE_PLATE
}

/// Convection on the outside of an arched cover h = 0.95 + 6.76 u^0.49, W m⁻² K⁻¹ (Papadakis 1992, from memory; u < 6.3 m/s).
/// Equation 12 of docs/science.md.
#[inline(always)]
pub fn convection_outside<R: Real>(speed: R) -> R {
    speed.powf(c::PAPADAKIS_EXPONENT) * c::PAPADAKIS_WIND_W_M2_K + c::PAPADAKIS_STILL_W_M2_K
}

/// Convection of one face of a small plate, W m⁻² K⁻¹ (Campbell & Norman 1998); a leaf has two.
///
/// Forced h = 29.3·1.4·0.135 √(u/d); free h = 29.3·0.05 (ΔT/d)^¼; the greater. u in m/s, d in m, ΔT in K. One face: without
/// the 1.4 it is the laminar plate Nu = 0.664 Re^½ Pr^⅓ of any textbook.
/// Checked by `vectors/convection.toml`.
/// Equation 11 of docs/science.md.
#[inline(always)]
pub fn leaf_boundary_layer<R: Real>(speed: R, size_m: f64, dt: R) -> R {
    let forced =
        (speed / size_m).sqrt() * (c::MOLAR_HEAT_J_MOL_K * c::TURBULENCE_FACTOR * c::FORCED_PLATE);
    let free = (dt.abs() / size_m).sqrt().sqrt() * (c::MOLAR_HEAT_J_MOL_K * c::FREE_PLATE);
    forced.max(free)
}
