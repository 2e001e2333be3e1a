//! Infiltration: air that wind and buoyancy push through cloth and gaps.

use crate::constants as c;
use crate::cover::{Fabric, Shape};
use crate::parameters as p;
use crate::real::Real;
use crate::state::NodeTemperatures;

/// Volume of air changed per m² of ground, m/s.
///
/// Δp = C_p ½ρ u² + ½ ρ g h |T_in − T_out|/T from where air enters to where it leaves; it passes two walls, so half of Δp
/// drives it through each: cloth v = v200 (½Δp/(200 m))^n for m layers; gaps C_d a √(Δp/ρ), and holes like gaps, through m
/// layers √m times less.
/// Checked by `laws::infiltration_grows_with_wind_and_openness`.
/// Equation 13 of docs/science.md.
#[inline(always)]
pub fn infiltration_m_s<R: Real>(
    fabric: &Fabric,
    layers: u32,
    shape: &Shape,
    speed: R,
    at: &NodeTemperatures<R>,
) -> R {
    let wind = speed * speed * (p::PRESSURE_COEFFICIENT * 0.5 * c::AIR_DENSITY_KG_M3);
    let rise = (at.air - at.outside).abs()
        * (0.5 * c::AIR_DENSITY_KG_M3 * c::GRAVITY_M_S2 * shape.crown_m
            / c::BUOYANCY_TEMPERATURE_K);
    let pressure = (wind + rise) * p::PRESSURE_A_WALL;
    let cloth = if fabric.permeability_m_s > 0.0 {
        (pressure / (c::PERMEABILITY_TEST_PA * f64::from(layers))).powf(fabric.flow_exponent)
            * (fabric.permeability_m_s * p::INFLOW_SHARE * shape.area_ratio)
    } else {
        R::splat(0.0)
    };
    let holes = fabric.open_share * shape.area_ratio / f64::from(layers).sqrt();
    cloth
        + (pressure * (2.0 / c::AIR_DENSITY_KG_M3)).sqrt()
            * (p::DISCHARGE * p::GAP_INFLOW_SHARE * (shape.gap_ratio + holes))
}
