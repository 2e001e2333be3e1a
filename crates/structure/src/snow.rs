//! Snow: how heavy each kind is, and how it lies on a hoop.

use crate::constants::{DRIFT_SHARE, GRAVITY_M_S2, SLIDES_DEG};
use crate::load::Load;
use crate::outline::Outline;
use crate::range::{Range, Trust};

/// Kind of snow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Snow {
    /// Fallen within hours, dry.
    Fresh,
    /// Lain for days.
    Settled,
    /// Lain for weeks.
    Old,
    /// Wet through by thaw or rain.
    Wet,
}

impl Snow {
    /// All kinds, lightest first.
    pub const ALL: [Self; 4] = [Self::Fresh, Self::Settled, Self::Old, Self::Wet];

    /// Density, kg/m³, with how far its source was seen.
    ///
    /// Fresh 70–150 (AMS Glossary of Meteorology, read), settled 200–300, old 250–350, wet 300–500 with the central
    /// values 1.0, 2.5, 3.0 and 4.0 kN/m³ near those of EN 1991-1-3 annex E (fresh 1.0, settled 2.0, old 2.5–3.5,
    /// wet 4.0, from memory) and Paterson (settled 200–300, from memory).
    /// Checked by `loads::snow_weighs_what_the_standard_says`.
    #[must_use]
    pub const fn density_kg_m3(self) -> (Range, Trust) {
        match self {
            Self::Fresh => (Range::new(70.0, 102.0, 150.0), Trust::Read),
            Self::Settled => (Range::new(200.0, 250.0, 300.0), Trust::FromMemory),
            Self::Old => (Range::new(250.0, 306.0, 350.0), Trust::FromMemory),
            Self::Wet => (Range::new(300.0, 408.0, 500.0), Trust::FromMemory),
        }
    }
}

/// How snow lies across a hoop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SnowLoad {
    /// The same depth on both sides.
    Even,
    /// Half the depth on the left of the crown (a drift, or one side brushed or thawed).
    HalfOnOneSide,
}

/// Snow of `weight_pa` on the ground plan over hoops `spacing_m` apart: none where the hoop stands steeper than 60°.
///
/// The snow goes along with the piece of hoop on which it lies. Nothing is taken off for what the wind
/// blows away. Checked by `loads::snow_lies_where_it_is_flat_enough`.
#[must_use]
pub fn snow(outline: &Outline, weight_pa: f64, spacing_m: f64, lie: SnowLoad) -> Load {
    let limit = SLIDES_DEG.to_radians();
    Load::down_per_span(outline, |x, slope| match lie {
        _ if slope.abs() > limit => 0.0,
        SnowLoad::HalfOnOneSide if x < 0.5 => DRIFT_SHARE * weight_pa * spacing_m,
        _ => weight_pa * spacing_m,
    })
}

/// Depth of snow of a density that weighs `weight_pa` on the ground plan, m.
/// Equation 32 of docs/science.md.
#[must_use]
pub fn depth_m(weight_pa: f64, density_kg_m3: f64) -> f64 {
    weight_pa / (density_kg_m3 * GRAVITY_M_S2)
}

/// Weight of the hoop itself and of cloth of `cloth_kg_m2`, dry or with the water that it holds, all along the hoop.
#[must_use]
pub fn own_weight(outline: &Outline, rod_kg_m: f64, cloth_kg_m2: f64, spacing_m: f64) -> Load {
    Load::down_per_length(outline, (rod_kg_m + cloth_kg_m2 * spacing_m) * GRAVITY_M_S2)
}
