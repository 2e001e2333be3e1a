//! What can be put over a bed: every cover its stock truly allows, with what it uses up.

use crate::bed::Bed;
use crate::garden::Garden;
use crate::stock::Condition;
use crate::stock::SheetKind;

/// How a cover lies on a bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lie {
    /// A sheet over hoops.
    LowTunnel {
        /// Distance between the feet, m.
        span_m: f64,
        /// Arch above ground, m.
        arch_m: f64,
        /// Height of the crown, m.
        rise_m: f64,
    },
    /// A sheet on the plants themselves.
    Floating,
    /// A sheet over a small tree or bush, down to the ground.
    Drape,
    /// A ready-made tunnel.
    PopUp {
        /// Distance between the feet, m.
        span_m: f64,
        /// Arch above ground, m.
        arch_m: f64,
        /// Height of the crown, m.
        rise_m: f64,
    },
    /// Loose straw or leaves spread over low plants.
    LooseMulch {
        /// How thick, m.
        depth_m: f64,
    },
}

/// What a choice draws from the stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Item {
    /// Pieces of `stock.sheets[i]`.
    Sheet(usize),
    /// Pieces of `stock.pop_ups[i]`.
    PopUp(usize),
    /// Ground pins.
    Pins,
    /// Clips.
    Clips,
    /// Litres of loose mulch.
    LooseMulchLitres,
}

/// One cover that truly fits one bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Cover {
    /// How it lies.
    pub lie: Lie,
    /// The cloth or film; `None` for loose mulch.
    pub cloth: Option<Cloth>,
    /// Sheets on top of each other, 1 or 2 (0 for loose mulch).
    pub layers: u32,
    /// Pieces end to end in each layer.
    pub pieces: u32,
    /// Cloth left on the ground on each side, m; what is beyond [`ROLL_BEYOND_M`] must be rolled up.
    pub skirt_m: f64,
    /// Whether the skirt is so wide that it has to be rolled up or folded under.
    pub roll_up: bool,
    /// What it takes from the stock.
    pub uses: Vec<(Item, u32)>,
    /// Person-minutes to put it on.
    pub minutes: f64,
    /// Protection its label claims, K.
    pub claim_k: Option<f64>,
}

/// The cloth of a cover.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cloth {
    /// What it is.
    pub kind: SheetKind,
    /// How whole it is.
    pub condition: Condition,
}

/// Skirt beyond which the rest is rolled up, m (6 in; common practice, no source).
pub const ROLL_BEYOND_M: f64 = 0.1524;

/// Every cover from the garden's stock that truly fits `bed`; staying open is not listed.
#[must_use]
pub fn covers(garden: &Garden, bed: &Bed) -> Vec<Cover> {
    let _ = (garden, bed);
    Vec::new()
}
