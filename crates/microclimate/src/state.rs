//! What a bed remembers from one step to the next, per member.

use crate::bed::Bed;
use crate::canopy;
use crate::cover::Cover;
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

/// What is sought in a step: temperatures and vapour above the soil.
#[derive(Clone, Copy, Debug)]
pub struct Nodes<R> {
    /// Ground surface, °C.
    pub ground_c: R,
    /// Leaves, °C.
    pub leaf_c: R,
    /// Air among the plants, °C.
    pub air_c: R,
    /// Vapour pressure of that air, kPa.
    pub vapour_kpa: R,
    /// Inner face of the cover, °C.
    pub inner_c: R,
    /// Outer face, °C.
    pub outer_c: R,
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

impl<R: Real> State<R> {
    /// Temperatures and vapour above the soil.
    #[inline(always)]
    #[must_use]
    pub fn nodes(&self) -> Nodes<R> {
        Nodes {
            ground_c: self.ground_c,
            leaf_c: self.leaf_c,
            air_c: self.air_c,
            vapour_kpa: self.vapour_kpa,
            inner_c: self.inner_c,
            outer_c: self.outer_c,
        }
    }

    /// Takes over temperatures and vapour.
    #[inline(always)]
    pub fn set_nodes(&mut self, now: &Nodes<R>) {
        self.ground_c = now.ground_c;
        self.leaf_c = now.leaf_c;
        self.air_c = now.air_c;
        self.vapour_kpa = now.vapour_kpa;
        self.inner_c = now.inner_c;
        self.outer_c = now.outer_c;
    }

    /// A bed in which all is as warm as the air at 2 m, over a soil profile.
    #[must_use]
    pub fn resting(air_c: R, vapour_kpa: R, soil_c: [R; CELLS]) -> Self {
        let dry = R::splat(0.0);
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
        self.cover_water = R::splat(0.0);
        self
    }

    /// Temperature of the tissue most exposed, °C.
    ///
    /// Under cloth that touches the share κ of it: T_leaf + κ w (T_cover − T_leaf), w of [`canopy::held_by_cloth`]. Under
    /// loose straw of depth d, which settles between plants of height h, the tips lie at h/(h + d) of its thickness:
    /// T_leaf + (T_outer − T_inner) h/(h + d).
    /// Checked by `laws::tissue_that_touches_the_cloth_is_colder_than_tissue_that_does_not`.
    /// Equation 88 of docs/science.md.
    #[must_use]
    pub fn tissue_c(&self, bed: &Bed, cover: Option<&Cover>) -> R {
        match cover {
            None => self.leaf_c,
            Some(Cover::Cloth { shape, .. }) => {
                let held = shape.contact * canopy::held_by_cloth(&bed.canopy);
                self.leaf_c + (self.inner_c - self.leaf_c) * held
            }
            Some(Cover::Loose { depth_m, .. }) => {
                let height = bed.canopy.height_m;
                self.leaf_c + (self.outer_c - self.inner_c) * (height / (height + depth_m))
            }
        }
    }
}
