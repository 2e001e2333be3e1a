//! The question and the answer, in metres and with the grower's names.

use crate::cut::proof::Proof;

/// Pieces of one length.
#[derive(Clone, Debug, PartialEq)]
pub struct Demand {
    /// What the grower calls it.
    pub name: String,
    /// Length of one, m, (0, 10 000]; lengths are cut to a tenth of a millimetre.
    pub length_m: f64,
    /// How many.
    pub count: u32,
}

/// A kind of roll.
#[derive(Clone, Debug, PartialEq)]
pub struct Roll {
    /// What the grower calls it.
    pub name: String,
    /// Length, m, (0, 10 000].
    pub length_m: f64,
    /// Price of one, money, ≥ 0; `None` when unknown.
    pub price: Option<f64>,
    /// How many there are; `None` when more can be had.
    pub at_most: Option<u32>,
}

/// One piece on a roll.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Index of the demand.
    pub demand: usize,
    /// Where it begins, m from the start of the roll.
    pub from_m: f64,
    /// Its length, m.
    pub length_m: f64,
}

/// One roll to cut.
#[derive(Clone, Debug, PartialEq)]
pub struct CutRoll {
    /// Index of the kind of roll.
    pub roll: usize,
    /// Pieces in the order of cutting, longest first.
    pub pieces: Vec<Piece>,
    /// What is left at the end, m.
    pub offcut_m: f64,
}

/// The whole cut, as data to be drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Each roll that is used, kind by kind.
    pub rolls: Vec<CutRoll>,
    /// What it costs, and how much less any cut could.
    pub proof: Proof,
}
