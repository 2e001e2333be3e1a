//! The conductances of a step: convection, infiltration and the aerodynamic exchange above, put together.

use quantities::units::ZERO_CELSIUS_K;

use crate::bed::Bed;
use crate::canopy;
use crate::constants as c;
use crate::convection::{
    convection_outside, free_convection_above, free_convection_inside, leaf_boundary_layer,
};
use crate::cover::Cover;
use crate::forcing::Forcing;
use crate::infiltration::infiltration_m_s;
use crate::parameters as p;
use crate::real::Real;
use crate::site::{Site, SnowOnCover};
use crate::state::NodeTemperatures;
use crate::surface_layer::stability_factor;

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

/// All conductances of a step.
///
/// Share of the air change that snow on the cover leaves.
#[inline(always)]
fn open_to_air<R: Real>(snow: &SnowOnCover<R>) -> R {
    snow.share * (p::SNOW_LEAK_SHARE - 1.0) + 1.0
}

/// From the inner face of cloth to the outer: the gap between two sheets, the snow on top. Under snow the two sheets exchange
/// long-wave as two black faces, 4σT³.
/// Equation 104 of docs/science.md.
#[inline(always)]
fn between_faces<R: Real>(snow: Option<SnowOnCover<R>>, layers: u32, area_ratio: f64) -> R {
    match (snow, layers > 1) {
        (None, false) => R::splat(0.0),
        (None, true) => R::splat(p::SHEET_GAP_W_M2_K * area_ratio),
        (Some(snow), false) => {
            R::splat(area_ratio) / snow.resistance.max(R::splat(p::LEAST_SNOW_M / p::SNOW_W_M_K))
        }
        (Some(snow), true) => {
            let gap = snow.share * p::LEAF_RADIATION_W_M2_K + p::SHEET_GAP_W_M2_K;
            R::splat(area_ratio) / (R::splat(1.0) / gap + snow.resistance)
        }
    }
}

/// Both faces of the leaves that the sky sees, and clods of ground: Campbell & Norman 1998, h = 29.3·1.4·0.135 √(u/d), or
/// free 29.3·0.05 (ΔT/d)^¼ where that is greater, in the wind that [`canopy::wind_shares`] leaves. Inside faces:
/// h = C |ΔT|^(1/3). Outer face: Papadakis 1992, h = 0.95 + 6.76 u^0.49. Air above: log profile with the stability factor of
/// [`stability_factor`].
#[inline(always)]
pub fn conductances<R: Real>(
    site: &Site<'_, R>,
    force: &Forcing<R>,
    at: &NodeTemperatures<R>,
) -> Conductances<R> {
    let (bed, draws, profile) = (site.bed, site.draws, &site.fixed.profile);
    let zero = R::splat(0.0);
    let air_capacity = R::splat(
        c::AIR_SPECIFIC_HEAT_J_KG_K * bed.pressure_kpa * 1000.0 / c::DRY_AIR_GAS_CONSTANT_J_KG_K,
    ) / (force.air_c + ZERO_CELSIUS_K);
    let surface = if site.cover.is_some() { at.outer } else { at.air };
    let wind = (force.wind_m_s * draws.shelter).max(R::splat(p::LEAST_AIR_M_S));
    let at_top = (wind * profile.top_share()).max(R::splat(p::LEAST_AIR_M_S));
    let at_2_m = wind * profile.screen_share();
    let neutral = profile.neutral_conductance(air_capacity, wind);
    let turbulent = neutral * stability_factor(force.air_c, surface, at_2_m);
    let aloft = (turbulent + draws.still_air) * profile.shorter_way();
    match site.cover {
        None => {
            let (among, below) = site.fixed.wind_shares;
            let over_leaves = at_top * among + p::LEAST_AIR_M_S;
            let over_ground = at_top * below + p::LEAST_AIR_M_S;
            Conductances {
                ground: leaf_boundary_layer(over_ground, p::CLOD_M, at.ground - at.air),
                leaf: leaves(bed, over_leaves, at),
                inner: zero,
                between: zero,
                contact: zero,
                vent: aloft,
                outer: zero,
                recirculated: zero,
                air_capacity,
            }
        }
        Some(cover) => covered(site, cover, at, air_capacity, at_top, aloft),
    }
}

/// Both faces of the leaves that the sky sees, per m² of ground.
#[inline(always)]
fn leaves<R: Real>(bed: &Bed, speed: R, at: &NodeTemperatures<R>) -> R {
    leaf_boundary_layer(speed, bed.canopy.leaf_m, at.leaf - at.air)
        * (p::FACES * canopy::upper_leaf_area(&bed.canopy))
}

#[inline(always)]
fn covered<R: Real>(
    site: &Site<'_, R>,
    cover: &Cover,
    at: &NodeTemperatures<R>,
    air_capacity: R,
    speed_outside: R,
    aloft: R,
) -> Conductances<R> {
    let (bed, draws) = (site.bed, site.draws);
    let coefficient = draws.convection * p::INSIDE_CONVECTION;
    let (r, contact, leak, between) = match cover {
        Cover::Cloth { fabric, layers, shape } => {
            let flow = infiltration_m_s(fabric, *layers, shape, speed_outside, at) * draws.leak;
            let between = between_faces(site.snow, *layers, shape.area_ratio);
            (shape.area_ratio, shape.contact, air_capacity * flow, between)
        }
        Cover::Loose { depth_m, conductivity } => {
            let leak = p::LOOSE_LEAK_W_M_K / depth_m;
            let straw = R::splat(depth_m / conductivity);
            let snow = site.snow.map_or(R::splat(0.0), |s| s.resistance);
            (1.0, 0.0, R::splat(leak), R::splat(1.0) / (straw + snow))
        }
    };
    let leak = site.snow.map_or(leak, |s| leak * open_to_air(&s));
    let skin = convection_outside(speed_outside) * r;
    // The air close above the cover is a star point between cover, leak and the air at 2 m.
    let star = R::splat(1.0) / (skin + leak + aloft);
    let series = skin * aloft * star;
    let outer = match cover {
        Cover::Cloth { .. } => series,
        // On a calm day the sun-baked face stirs the air above it by itself.
        Cover::Loose { .. } => series.max(free_convection_above(at.outer - at.outside)),
    };
    let speed_inside = leak / air_capacity * p::INSIDE_SPEED_PER_LEAK + p::LEAST_AIR_M_S;
    Conductances {
        ground: free_convection_inside(coefficient, at.ground - at.air) + p::STILL_INSIDE_W_M2_K,
        leaf: leaves(bed, speed_inside, at),
        inner: (free_convection_inside(coefficient, at.inner - at.air) + p::STILL_INSIDE_W_M2_K)
            * r,
        between,
        contact: R::splat(p::CONTACT_W_M2_K * contact * bed.canopy.ground_cover),
        vent: leak * aloft * star,
        outer,
        recirculated: skin * leak * star,
        air_capacity,
    }
}
