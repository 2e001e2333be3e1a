//! The question and the answer, in metres and with the grower's names.

use crate::cut::proof::Proof;

/// Sheets of one size.
#[derive(Clone, Debug, PartialEq)]
pub struct Demand {
    /// What the grower calls it.
    pub name: String,
    /// Width across the bed, m, (0, 10 000].
    pub width_m: f64,
    /// Length along the bed, m, (0, 10 000].
    pub length_m: f64,
    /// How many.
    pub count: u32,
    /// Which cloth; each is cut by itself.
    pub material: usize,
}

/// A kind of roll.
#[derive(Clone, Debug, PartialEq)]
pub struct Roll {
    /// What the grower calls it.
    pub name: String,
    /// Width, m, (0, 10 000].
    pub width_m: f64,
    /// Length, m, (0, 10 000].
    pub length_m: f64,
    /// Price of one, money, ≥ 0; `None` when unknown.
    pub price: Option<f64>,
    /// How many there are; `None` when more can be had.
    pub at_most: Option<u32>,
    /// Which cloth.
    pub material: usize,
}

/// One sheet on a roll: a rectangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Index of the demand.
    pub demand: usize,
    /// Where it begins across the roll, m from its edge.
    pub across_from_m: f64,
    /// Extent across the roll, m.
    pub across_m: f64,
    /// Where it begins along the roll, m from its start.
    pub along_from_m: f64,
    /// Extent along the roll, m.
    pub along_m: f64,
    /// Whether its length lies across the roll.
    pub turned: bool,
}

/// A length cut across the roll, then slit.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// Where it begins, m from the start of the roll.
    pub from_m: f64,
    /// Its length along the roll: that of its longest sheet, m.
    pub length_m: f64,
    /// Sheets side by side.
    pub places: Vec<Place>,
    /// Width left beside them, m.
    pub offcut_width_m: f64,
}

/// One roll to cut.
#[derive(Clone, Debug, PartialEq)]
pub struct CutRoll {
    /// Index of the kind of roll.
    pub roll: usize,
    /// Strips in the order of cutting, longest first.
    pub strips: Vec<Strip>,
    /// What is left at the end, m.
    pub offcut_m: f64,
}

/// The whole cut of one cloth, as data to be drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Which cloth.
    pub material: usize,
    /// Each roll that is used, kind by kind.
    pub rolls: Vec<CutRoll>,
    /// What it costs, and how much less any such cut could.
    pub proof: Proof,
}
