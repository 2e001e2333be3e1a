//! Kinds of bed: beds that are the same to the physics are run once.

use garden::bed::{Bed, Wetness};
use garden::crops;
use garden::fit::{Cover as Fit, Placement};
use garden::garden::Garden;
use garden::stands::{Threatened, covered, depths_m};
use microclimate::cover::Cover;
use structure::snow::Snow;

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
    pub bed: microclimate::Bed,
    /// How wet it is.
    pub wetness: Wetness,
    /// Distinct covers.
    pub covers: Vec<Cover>,
    /// Settled snow that may lie on each, m: what its hoops carry for certain; infinite where it lies on the plants.
    pub holds_snow_m: Vec<f64>,
    /// Garden air below which a night matters, °C.
    pub matters_below_c: f64,
    /// Air inside above which a left-on cover harms, °C.
    pub heat_c: f64,
    /// What is asked of its nights.
    pub asked: Asked,
}

/// What is asked of the nights of a kind of bed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Asked {
    /// Everything.
    #[default]
    All,
    /// All but covers that lie on: each is laid anew every evening.
    LaidAnew,
    /// No answers to the air, and covers that lie on only on these days, counted from the middle of winter.
    LyingOn(Vec<bool>),
}

impl Asked {
    /// Whether the answers to the air are asked for.
    #[must_use]
    pub fn answers(&self) -> bool {
        matches!(self, Self::All | Self::LaidAnew)
    }

    /// Whether covers that lie on are asked for on a day.
    #[must_use]
    pub fn lying_on(&self, index: usize) -> bool {
        match self {
            Self::All => true,
            Self::LaidAnew => false,
            Self::LyingOn(days) => days.get(index).copied().unwrap_or(false),
        }
    }
}

impl BedKind {
    /// One more cover, unless it is there already, and the settled snow that it holds, m.
    pub fn add(&mut self, cover: Cover, holds_snow_m: impl FnOnce() -> f64) {
        if !self.covers.contains(&cover) {
            self.covers.push(cover);
            self.holds_snow_m.push(holds_snow_m());
        }
    }
}

/// The kinds of a garden's beds; `fits` and `at_risk` by bed; where `snow` may lie on covers what they hold is worked out.
#[must_use]
pub fn bed_kinds(
    garden: &Garden,
    fits: &[Vec<Fit>],
    at_risk: &[Vec<PlantingAtRisk>],
    snow: bool,
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
                holds_snow_m: Vec::new(),
                matters_below_c: f64::NEG_INFINITY,
                heat_c: f64::INFINITY,
                asked: Asked::All,
            });
            out.len() - 1
        });
        let kind = &mut out[at];
        kind.beds.push(b);
        kind.matters_below_c = kind.matters_below_c.max(below);
        kind.heat_c = kind.heat_c.min(heat_c);
        for fit in &fits[b] {
            let cover = physics::cover(fit, garden_bed);
            kind.add(cover, || {
                if snow { holds_snow_m(garden, garden_bed, fit) } else { f64::INFINITY }
            });
        }
    }
    out
}

/// Settled snow that a cover holds, m: what its hoops carry at the least; all that falls where it lies on the plants; none
/// where hoops are not known, for it is brushed off.
fn holds_snow_m(garden: &Garden, bed: &Bed, fit: &Fit) -> f64 {
    match fit.lie {
        Placement::Floating | Placement::Drape | Placement::LooseMulch { .. } => f64::INFINITY,
        Placement::LowTunnel { .. } | Placement::PopUp { .. } => {
            let threat = Threatened { wind: false, snow: true };
            let carried = covered(garden, bed, fit, threat).ok().and_then(|s| s.snow_pa);
            carried.map_or(0.0, |weight| depths_m(weight, Snow::Settled).low)
        }
    }
}
