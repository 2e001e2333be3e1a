//! What a bed remembers from one step to the next, per member.

use crate::real::Real;
use crate::soil::{CELLS, ColumnState};

/// State of a bed and what lies over it.
#[derive(Clone, Copy, Debug)]
pub struct State<R> {
    /// Ground surface, °C.
    pub ground_c: R,
    /// Leaves, °C.
    pub leaf_c: R,
    /// Air among the plants, °C.
    pub air_c: R,
    /// Vapour pressure of that air, kPa.
    pub vapour_kpa: R,
    /// Inner face of the cover, °C; meaningless while open.
    pub inner_c: R,
    /// Outer face, °C; equal to the inner one for a single layer.
    pub outer_c: R,
    /// Water on the leaves, kg per m² of ground.
    pub leaf_water: R,
    /// Water on the cover, kg per m² of ground.
    pub cover_water: R,
    /// The soil below.
    pub soil: ColumnState<R>,
}

impl<R: Real> State<R> {
    /// A bed in which all is as warm as the air at 2 m, over a soil profile.
    #[must_use]
    pub fn resting(air_c: R, vapour_kpa: R, soil_c: [R; CELLS]) -> Self {
        let dry = R::of(0.0);
        Self {
            ground_c: soil_c[0],
            leaf_c: air_c,
            air_c,
            vapour_kpa,
            inner_c: air_c,
            outer_c: air_c,
            leaf_water: dry,
            cover_water: dry,
            soil: ColumnState { temperature_c: soil_c, ice_kg_m2: [dry; CELLS] },
        }
    }

    /// The same bed just after a cover is laid: cloth as warm as the outside air and dry, air inside as it was.
    #[must_use]
    pub fn just_covered(mut self, air_c: R) -> Self {
        self.inner_c = air_c;
        self.outer_c = air_c;
        self.cover_water = R::of(0.0);
        self
    }

    /// Temperature of the tissue most exposed under a cover that touches it with the share κ: κ T_cover + (1 − κ) T_leaf.
    #[must_use]
    pub fn tissue_c(&self, contact: f64) -> R {
        self.inner_c * contact + self.leaf_c * (1.0 - contact)
    }
}
