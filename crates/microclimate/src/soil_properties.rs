//! What soil conducts and holds, by texture and wetness. Checked by `tests/vectors/soil.toml`.

use crate::bed::Ground;
use crate::parameters::PEAT_ORGANIC_SHARE;

/// Volumetric heat capacity C = 1.92 x_m + 2.51 x_o + 4.18 θ, MJ m⁻³ K⁻¹ (de Vries 1963).
/// Equation 16 of docs/science.md.
#[must_use]
pub fn heat_capacity_mj_m3_k(mineral: f64, organic: f64, water: f64) -> f64 {
    1.92 * mineral + 2.51 * organic + 4.18 * water
}

/// Conductivity by Johansen 1975, W m⁻¹ K⁻¹.
///
/// k_dry = (0.135 ρb + 64.7)/(2700 − 0.947 ρb); k_s = 7.7^q k_o^(1−q), k_o = 2 (3 where q ≤ 0.2);
/// k_sat = k_s^(1−n) 0.57^n; Ke = 0.7 log Sr + 1 (coarse, Sr > 0.05) or log Sr + 1 (fine, Sr > 0.1);
/// k = k_dry + (k_sat − k_dry) Ke. Below those Sr, Ke = 0.
/// Equation 17 of docs/science.md.
#[must_use]
pub fn johansen_w_m_k(
    bulk_density_kg_m3: f64,
    porosity: f64,
    quartz: f64,
    saturation: f64,
    coarse: bool,
) -> f64 {
    let dry = (0.135 * bulk_density_kg_m3 + 64.7) / (2700.0 - 0.947 * bulk_density_kg_m3);
    let other: f64 = if quartz <= 0.2 { 3.0 } else { 2.0 };
    let solids = 7.7_f64.powf(quartz) * other.powf(1.0 - quartz);
    let saturated = solids.powf(1.0 - porosity) * 0.57_f64.powf(porosity);
    let (scale, least) = if coarse { (0.7, 0.05) } else { (1.0, 0.1) };
    let kersten = if saturation > least { scale * saturation.log10() + 1.0 } else { 0.0 };
    dry + (saturated - dry) * kersten.clamp(0.0, 1.0)
}

/// Conductivity of a bed's soil at a saturation of its pores; peat by the dry and saturated values of
/// Oke 1987 (.06 and .50), linear in saturation.
#[must_use]
pub fn conductivity_w_m_k(ground: &Ground, saturation: f64) -> f64 {
    if ground.organic > PEAT_ORGANIC_SHARE {
        return 0.06 + (0.50 - 0.06) * saturation;
    }
    johansen_w_m_k(
        ground.bulk_density_kg_m3,
        ground.porosity,
        ground.quartz,
        saturation,
        ground.coarse,
    )
}

/// Heat capacity of a bed's soil at a saturation of its pores, J m⁻³ K⁻¹.
#[must_use]
pub fn capacity_j_m3_k(ground: &Ground, saturation: f64) -> f64 {
    let mineral = 1.0 - ground.porosity - ground.organic;
    1e6 * heat_capacity_mj_m3_k(mineral, ground.organic, ground.porosity * saturation)
}

/// Damping depth d = √(2D/ω) of a wave of the given period, m.
#[must_use]
pub fn damping_depth_m(diffusivity_m2_s: f64, period_s: f64) -> f64 {
    (diffusivity_m2_s * period_s / std::f64::consts::PI).sqrt()
}
