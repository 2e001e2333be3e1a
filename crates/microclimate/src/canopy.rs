//! What follows from the size and density of plants: leaves out of sight, shelter from the wind, roughness to it.
//!
//! One structure for every bed: known are height, ground covered and leaf size; nothing is fitted to a site.

use crate::bed::Canopy;
use crate::convection::leaf_boundary_layer;
use crate::parameters as p;

/// Height that the exchange aloft counts with, m: at most [`p::GREATEST_LEVEL_M`].
fn height_m(canopy: &Canopy) -> f64 {
    canopy.height_m.min(p::GREATEST_LEVEL_M)
}

/// Ground that all leaves would hide if none lay before another, per m² of ground: −ln(1 − f), leaves strewn at random
/// (Beer's law of a canopy, Monsi & Saeki 1953, from memory). Range: f to 0.98; beyond it counts as that.
/// Equation 96 of docs/science.md.
#[must_use]
pub fn optical_depth(canopy: &Canopy) -> f64 {
    -(1.0 - canopy.ground_cover.clamp(0.0, p::GREATEST_GROUND_COVER)).ln()
}

/// Layers of leaves that the sky does not see, −ln(1 − f) − f.
///
/// Checked by `vectors/convection.toml` and `laws::more_plant_cover_never_gives_more_ground_heat`.
/// Equation 96 of docs/science.md.
#[must_use]
pub fn lower_layers(canopy: &Canopy) -> f64 {
    (optical_depth(canopy) - canopy.ground_cover).max(0.0)
}

/// Area of the leaves that the sky sees, m² per m² of ground: f/K, K = 0.8 of leaves that lean every way.
/// Equation 96 of docs/science.md.
#[must_use]
pub fn upper_leaf_area(canopy: &Canopy) -> f64 {
    canopy.ground_cover / p::LEAF_PROJECTION
}

/// Attenuation of the wind among the plants u = u_h exp[−a (1 − z/h)], a = √(0.2 L h/l), l = (6 w² h/(π L))^⅓ the mean
/// distance of leaves, L = −ln(1 − f)/K their area, w their size (Campbell & Norman 1998, ch. 5, from memory).
/// Checked by `vectors/convection.toml`.
/// Equation 97 of docs/science.md.
#[must_use]
pub fn attenuation(canopy: &Canopy) -> f64 {
    let area = (optical_depth(canopy) / p::LEAF_PROJECTION).max(p::LEAST_LEAF_AREA);
    let distance = (6.0 * canopy.leaf_m * canopy.leaf_m * canopy.height_m
        / (std::f64::consts::PI * area))
        .cbrt();
    (0.2 * area * canopy.height_m / distance).sqrt()
}

/// Wind over leaves and over the ground as shares of that at the top of the plants: the mean (1 − e^(−a))/a, and e^(−a).
/// Equation 97 of docs/science.md.
#[must_use]
pub fn wind_shares(canopy: &Canopy) -> (f64, f64) {
    let a = attenuation(canopy);
    let floor = (-a).exp();
    ((1.0 - floor) / a, floor)
}

/// Displacement height ⅔ h of plants, m (FAO-56, ch. 2).
/// Equation 98 of docs/science.md.
#[must_use]
pub fn displacement_m(canopy: &Canopy) -> f64 {
    2.0 / 3.0 * height_m(canopy)
}

/// Roughness length 0.123 h of plants, m (FAO-56, ch. 2), at least that of a garden, [`p::ROUGHNESS_M`].
/// Equation 98 of docs/science.md.
#[must_use]
pub fn roughness_m(canopy: &Canopy) -> f64 {
    (0.123 * height_m(canopy)).max(p::ROUGHNESS_M)
}

/// How far tissue that touches cloth takes its temperature, w = h_c/(h_c + h + 5): one face lies on the cloth, h_c =
/// 10 W m⁻² K⁻¹; the other gives heat to still air, h of a leaf at 0.05 m/s, and radiates to the leaves below, 5.
///
/// 0.5 of a leaf of 5 cm. What the other face meets is taken for as cold as the leaf: air and soil are warmer.
/// Checked by `vectors/convection.toml`.
/// Equation 88 of docs/science.md.
#[must_use]
pub fn held_by_cloth(canopy: &Canopy) -> f64 {
    let to_air = leaf_boundary_layer(p::LEAST_AIR_M_S, canopy.leaf_m, 0.0);
    p::CONTACT_W_M2_K / (p::CONTACT_W_M2_K + to_air + p::LEAF_RADIATION_W_M2_K)
}
