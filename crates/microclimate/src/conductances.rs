//! The conductances of a step: convection, infiltration and the aerodynamic exchange above, put together.

use quantities::units::ZERO_CELSIUS_K;

use crate::bed::Bed;
use crate::canopy;
use crate::constants as c;
use crate::convection::{
    convection_outside, free_convection_above, free_convection_inside, leaf_boundary_layer,
};
use crate::cover::Cover;
use crate::draws::Draws;
use crate::forcing::Forcing;
use crate::infiltration::infiltration_m_s;
use crate::parameters as p;
use crate::real::Real;
use crate::state::NodeTemperatures;
use crate::surface_layer::{Profile, stability_factor};

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
/// Both faces of the leaves that the sky sees, and clods of ground: Campbell & Norman 1998, h = 29.3·1.4·0.135 √(u/d), or
/// free 29.3·0.05 (ΔT/d)^¼ where that is greater, in the wind that [`canopy::wind_shares`] leaves. Inside faces:
/// h = C |ΔT|^(1/3). Outer face: Papadakis 1992, h = 0.95 + 6.76 u^0.49. Air above: log profile with the stability factor of
/// [`stability_factor`].
#[inline(always)]
pub fn conductances<R: Real>(
    bed: &Bed,
    cover: Option<&Cover>,
    draws: &Draws<R>,
    force: &Forcing<R>,
    at: &NodeTemperatures<R>,
) -> Conductances<R> {
    let zero = R::splat(0.0);
    let air_capacity = R::splat(
        c::AIR_SPECIFIC_HEAT_J_KG_K * bed.pressure_kpa * 1000.0 / c::DRY_AIR_GAS_CONSTANT_J_KG_K,
    ) / (force.air_c + ZERO_CELSIUS_K);
    let (profile, surface) = match cover {
        None => (Profile::over_plants(&bed.canopy, bed.wind_height_m), at.air),
        Some(Cover::Cloth { shape, .. }) => {
            let crown_m = shape.crown_m.max(bed.canopy.height_m);
            (Profile::over_cover(crown_m, bed.wind_height_m), at.outer)
        }
        Some(Cover::Loose { .. }) => {
            (Profile::over_cover(bed.canopy.height_m, bed.wind_height_m), at.outer)
        }
    };
    let wind = (force.wind_m_s * draws.shelter).max(R::splat(p::LEAST_AIR_M_S));
    let at_top = (wind * profile.top_share()).max(R::splat(p::LEAST_AIR_M_S));
    let at_2_m = wind * profile.screen_share();
    let neutral = profile.neutral_conductance(air_capacity, wind);
    let turbulent = neutral * stability_factor(force.air_c, surface, at_2_m);
    let aloft = (turbulent + draws.still_air) * profile.shorter_way();
    match cover {
        None => {
            let (among, below) = canopy::wind_shares(&bed.canopy);
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
        Some(cover) => covered(bed, cover, draws, at, air_capacity, at_top, aloft),
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
            let flow = infiltration_m_s(fabric, *layers, shape, speed_outside, at) * draws.leak;
            let between = if *layers > 1 { p::SHEET_GAP_W_M2_K * shape.area_ratio } else { 0.0 };
            (shape.area_ratio, shape.contact, air_capacity * flow, R::splat(between))
        }
        Cover::Loose { depth_m, conductivity } => {
            let leak = p::LOOSE_LEAK_W_M_K / depth_m;
            (1.0, 0.0, R::splat(leak), R::splat(conductivity / depth_m))
        }
    };
    let skin = convection_outside(speed_outside) * r;
    // The air close above the cover is a star point between cover, leak and the air at 2 m.
    let star = skin + leak + aloft;
    let series = skin * aloft / star;
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
        vent: leak * aloft / star,
        outer,
        recirculated: skin * leak / star,
        air_capacity,
    }
}
