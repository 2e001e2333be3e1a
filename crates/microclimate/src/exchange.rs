//! Wind at the bed, convection, and air change through cloth and gaps.

use crate::bed::Bed;
use crate::cover::{Cover, Fabric, Shape};
use crate::draws::Draws;
use crate::forcing::Forcing;
use crate::parameters as p;
use crate::real::Real;

/// Conductances per m² of ground, W m⁻² K⁻¹.
#[derive(Clone, Copy, Debug)]
pub struct Conductances<R> {
    /// Ground to the air among the plants.
    pub ground: R,
    /// Leaf to that air.
    pub leaf: R,
    /// Inner face of the cover to that air; 0 when open.
    pub inner: R,
    /// Between two sheets, or through a loose layer; 0 elsewhere.
    pub between: R,
    /// Leaf to touching cloth.
    pub contact: R,
    /// Air among the plants to the air at 2 m: all of the exchange when open, the leak when covered.
    pub vent: R,
    /// Outer face to the air at 2 m.
    pub outer: R,
    /// Outer face to the air among the plants by way of the air close above the cover.
    pub recirculated: R,
    /// Volumetric heat capacity of air ρ c_p, J m⁻³ K⁻¹.
    pub air_capacity: R,
}

/// Temperatures the conductances depend on, °C.
#[derive(Clone, Copy, Debug)]
pub struct NodeTemperatures<R> {
    /// Ground surface.
    pub ground: R,
    /// Leaf.
    pub leaf: R,
    /// Air among the plants.
    pub air: R,
    /// Inner face of the cover.
    pub inner: R,
    /// Outer face of the cover.
    pub outer: R,
    /// Air at 2 m.
    pub outside: R,
}

/// All conductances of a step.
///
/// Leaf and ground clods: Campbell & Norman 1998, h = 29.3·1.4·0.135 √(u/d), or free 29.3·0.05 (ΔT/d)^¼
/// where that is greater. Inside faces: h = C |ΔT|^(1/3). Outer face: Papadakis 1992,
/// h = 0.95 + 6.76 u^0.49. Air above: log profile with the stability factor of [`stability`].
#[inline(always)]
pub fn conductances<R: Real>(
    bed: &Bed,
    cover: Option<&Cover>,
    draws: &Draws<R>,
    force: &Forcing<R>,
    at: &NodeTemperatures<R>,
) -> Conductances<R> {
    let zero = R::of(0.0);
    let air_capacity = R::of(1005.0 * bed.pressure_kpa * 1000.0 / 287.05) / (force.air_c + 273.15);
    let crown = match cover {
        Some(Cover::Cloth { shape, .. }) => shape.crown_m,
        _ => 0.0,
    };
    let level = crown.max(bed.canopy.height_m).clamp(0.1, 1.5);
    let wind = (force.wind_m_s * draws.shelter).max(R::of(p::LEAST_AIR_M_S));
    let log = |z: f64| ((z + p::ROUGHNESS_M) / p::ROUGHNESS_M).ln();
    let at_level = (wind * (log(level) / log(bed.wind_height_m))).max(R::of(p::LEAST_AIR_M_S));
    let at_2_m = wind * (log(2.0) / log(bed.wind_height_m));
    let surface = if cover.is_some() { at.outer } else { at.air };
    // g = ρ c_p κ u* / ln(2/z), u* = κ u / ln(z_ref/z₀), κ = 0.4.
    let friction = wind * (0.4 / log(bed.wind_height_m));
    let neutral = air_capacity * friction * (0.4 / (2.0 / level).ln().max(0.25));
    let aloft = neutral * stability(force.air_c, surface, at_2_m) + draws.still_air;
    match cover {
        None => {
            let speed = at_level * 0.5 + p::LEAST_AIR_M_S;
            Conductances {
                ground: face(speed, 0.1, at.ground - at.air),
                leaf: face(speed, bed.canopy.leaf_m, at.leaf - at.air) * bed.canopy.ground_cover,
                inner: zero,
                between: zero,
                contact: zero,
                vent: aloft,
                outer: zero,
                recirculated: zero,
                air_capacity,
            }
        }
        Some(cover) => covered(bed, cover, draws, at, air_capacity, at_level, aloft),
    }
}

#[inline(always)]
fn covered<R: Real>(
    bed: &Bed,
    cover: &Cover,
    draws: &Draws<R>,
    at: &NodeTemperatures<R>,
    air_capacity: R,
    speed_outside: R,
    aloft: R,
) -> Conductances<R> {
    let coefficient = draws.convection * p::INSIDE_CONVECTION;
    let (r, contact, leak, between) = match cover {
        Cover::Cloth { fabric, layers, shape } => {
            let flow = air_change(fabric, *layers, shape, speed_outside, at) * draws.leak;
            let between = if *layers > 1 { p::SHEET_GAP_W_M2_K * shape.area_ratio } else { 0.0 };
            (shape.area_ratio, shape.contact, air_capacity * flow, R::of(between))
        }
        Cover::Loose { depth_m, conductivity } => {
            let leak = p::LOOSE_LEAK_W_M_K / depth_m;
            (1.0, 0.0, R::of(leak), R::of(conductivity / depth_m))
        }
    };
    let skin = outside(speed_outside) * r;
    // The air close above the cover is a star point between cover, leak and the air at 2 m.
    let star = skin + leak + aloft;
    let series = skin * aloft / star;
    let outer = match cover {
        Cover::Cloth { .. } => series,
        // On a calm day the sun-baked face stirs the air above it by itself.
        Cover::Loose { .. } => series.max(free_above(at.outer - at.outside)),
    };
    let speed_inside = leak / air_capacity * 2.0 + p::LEAST_AIR_M_S;
    Conductances {
        ground: free_inside(coefficient, at.ground - at.air) + p::STILL_INSIDE_W_M2_K,
        leaf: face(speed_inside, bed.canopy.leaf_m, at.leaf - at.air) * bed.canopy.ground_cover,
        inner: (free_inside(coefficient, at.inner - at.air) + p::STILL_INSIDE_W_M2_K) * r,
        between,
        contact: R::of(p::CONTACT_W_M2_K * contact * bed.canopy.ground_cover),
        vent: leak * aloft / star,
        outer,
        recirculated: skin * leak / star,
        air_capacity,
    }
}

/// Free convection on the faces inside a cover h = C |ΔT|^(1/3), W m⁻² K⁻¹ (Takakura, *Climate under Cover*, ch. 4).
/// Checked by `vectors/convection.toml`.
/// Equation 12 of docs/science.md.
#[inline(always)]
pub fn free_inside<R: Real>(coefficient: R, dt: R) -> R {
    coefficient * dt.abs().cbrt()
}

/// Free convection from a level face to the air above it h = 1.52 ΔT^(1/3), W m⁻² K⁻¹, where it is ΔT warmer; else 0.
///
/// Source: a heated plate facing up, turbulent, in any textbook of heat transfer, from memory. Range: ΔT 1 to 100 K.
/// Checked by `vectors/convection.toml` and `laws::loose_straw_left_on_in_high_summer_stays_within_range`.
/// Equation 12 of docs/science.md.
#[inline(always)]
pub fn free_above<R: Real>(dt: R) -> R {
    dt.max(R::of(0.0)).cbrt() * 1.52
}

/// Convection on the outside of an arched cover h = 0.95 + 6.76 u^0.49, W m⁻² K⁻¹ (Papadakis 1992, from memory; u < 6.3 m/s).
/// Equation 12 of docs/science.md.
#[inline(always)]
pub fn outside<R: Real>(speed: R) -> R {
    speed.powf(0.49) * 6.76 + 0.95
}

/// Convection of a small flat face, both sides together, W m⁻² K⁻¹ (Campbell & Norman 1998).
///
/// Forced h = 29.3·1.4·0.135 √(u/d); free h = 29.3·0.05 (ΔT/d)^¼; the greater. u in m/s, d in m, ΔT in K.
/// Checked by `vectors/convection.toml`.
/// Equation 11 of docs/science.md.
#[inline(always)]
pub fn face<R: Real>(speed: R, size_m: f64, dt: R) -> R {
    let forced = (speed / size_m).sqrt() * (29.3 * 1.4 * 0.135);
    let free = (dt.abs() / size_m).sqrt().sqrt() * (29.3 * 0.05);
    forced.max(free)
}

/// Volume of air changed per m² of ground, m/s.
///
/// Δp = C_p ½ρ u² + ½ ρ g h |T_in − T_out|/T; cloth v = v200 (Δp/(200 m))^n for m layers; gaps C_d a √(2Δp/ρ).
/// Checked by `laws::air_change_grows_with_wind_and_openness`.
/// Equation 13 of docs/science.md.
#[inline(always)]
pub fn air_change<R: Real>(
    fabric: &Fabric,
    layers: u32,
    shape: &Shape,
    speed: R,
    at: &NodeTemperatures<R>,
) -> R {
    const DENSITY: f64 = 1.27;
    let wind = speed * speed * (p::PRESSURE_COEFFICIENT * 0.5 * DENSITY);
    let rise = (at.air - at.outside).abs() * (0.5 * DENSITY * 9.81 * shape.crown_m / 275.0);
    let pressure = wind + rise;
    let cloth = if fabric.permeability_m_s > 0.0 {
        (pressure / (200.0 * f64::from(layers))).powf(fabric.flow_exponent)
            * (fabric.permeability_m_s * p::INFLOW_SHARE * shape.area_ratio)
    } else {
        R::of(0.0)
    };
    cloth + (pressure * (2.0 / DENSITY)).sqrt() * (p::DISCHARGE * 0.5 * shape.gap_ratio)
}

/// Stability factor of the exchange aloft, Louis 1979 in bulk form (from memory):
/// Ri = g z (T_air − T_s)/(T u²), z = 2 m and u there; stable 1/(1 + 10 Ri/√(1 + 5 Ri)), at least 0.3 because turbulence over
/// uneven ground comes in bursts on the stillest nights; unstable √(1 + 16 |Ri|), at most 4.
/// Equation 14 of docs/science.md.
#[inline(always)]
pub fn stability<R: Real>(air_c: R, surface_c: R, wind: R) -> R {
    let zero = R::of(0.0);
    let speed = wind.max(R::of(0.3));
    let ri = (air_c - surface_c) * (9.81 * 2.0 / 275.0) / (speed * speed);
    let stable = ri.max(zero);
    let unstable = (-ri).max(zero);
    let damped = R::of(1.0) / (stable * 10.0 / (stable * 5.0 + 1.0).sqrt() + 1.0);
    let damped = damped.max(R::of(0.3));
    damped * (unstable * 16.0 + 1.0).sqrt().min(R::of(4.0))
}
