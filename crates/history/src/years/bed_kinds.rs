//! Kinds of bed: beds that are the same to the physics are run once.

use garden::bed::Wetness;
use garden::crops;
use garden::fit::Cover as Fit;
use garden::garden::Garden;
use microclimate::Bed;
use microclimate::cover::Cover;

use crate::constants::{MATTERS_MARGIN_K, WARMEST_C, WIND_HEIGHT_M};
use evening::night::PlantingAtRisk;
use evening::physics;

/// Beds that are the same to the physics, with every cover that fits one of them.
#[derive(Clone, Debug)]
pub struct BedKind {
    /// Name of its first bed, for messages.
    pub name: String,
    /// Its beds.
    pub beds: Vec<usize>,
    /// The bed as physics.
    pub bed: Bed,
    /// How wet it is.
    pub wetness: Wetness,
    /// Distinct covers.
    pub covers: Vec<Cover>,
    /// Garden air below which a night matters, °C.
    pub matters_below_c: f64,
    /// Air inside above which a left-on cover harms, °C.
    pub heat_c: f64,
}

/// The kinds of a garden's beds; `fits` and `at_risk` by bed.
#[must_use]
pub fn bed_kinds(
    garden: &Garden,
    fits: &[Vec<Fit>],
    at_risk: &[Vec<PlantingAtRisk>],
) -> Vec<BedKind> {
    let mut out: Vec<BedKind> = Vec::new();
    for (b, garden_bed) in garden.beds.iter().enumerate() {
        // What hardens loses it on warm days.
        let softest = |s: &PlantingAtRisk| {
            PlantingAtRisk::at(s.planting, garden_bed.plantings.get(s.planting)?, 0.0)
        };
        let limits = at_risk[b].iter().filter_map(softest).map(|s| s.limits.t10_c);
        let warmest = limits.fold(f64::NEG_INFINITY, f64::max);
        if at_risk[b].is_empty() {
            continue;
        }
        let bed = physics::bed(garden, garden_bed, WIND_HEIGHT_M);
        let heat = garden_bed.plantings.iter().map(|p| crops::heat_limit_c(p.crop));
        let heat_c = heat.fold(f64::INFINITY, f64::min);
        let below = (warmest + MATTERS_MARGIN_K).min(WARMEST_C);
        let at = out.iter().position(|k| k.bed == bed && k.wetness == garden_bed.wetness);
        let at = at.unwrap_or_else(|| {
            out.push(BedKind {
                name: garden_bed.name.clone(),
                beds: Vec::new(),
                bed,
                wetness: garden_bed.wetness,
                covers: Vec::new(),
                matters_below_c: f64::NEG_INFINITY,
                heat_c: f64::INFINITY,
            });
            out.len() - 1
        });
        let kind = &mut out[at];
        kind.beds.push(b);
        kind.matters_below_c = kind.matters_below_c.max(below);
        kind.heat_c = kind.heat_c.min(heat_c);
        for fit in &fits[b] {
            let cover = physics::cover(fit, garden_bed);
            if !kind.covers.contains(&cover) {
                kind.covers.push(cover);
            }
        }
    }
    out
}
