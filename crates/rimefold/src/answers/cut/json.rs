//! The cut list as JSON: SI units, every piece and its place on the roll.

use purchase::cut::{Proof as CutProof, lengths, sheets};
use purchase::cut_list::{ClothCut, CutList, RodCut};
use serde::Serialize;

use super::text::lack;
use crate::format::GardenFormat;

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

/// The answer of `rimefold cut --json`.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Cut {
    /// Version of the layout.
    layout: u32,
    /// One entry a kind of wire or rod.
    rods: Vec<Rod>,
    /// One entry a kind of cloth.
    cloths: Vec<Cloth>,
    /// Beds that nothing on offer serves.
    without: Vec<Without>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Rod {
    /// Its name in words.
    rod: String,
    /// Outer diameter.
    diameter_m: f64,
    /// Coils bought and how each is cut.
    rolls: Vec<Coil>,
    proof: Proof,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Coil {
    roll: String,
    pieces: Vec<Length>,
    /// What is left at the end.
    left_m: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Length {
    /// The bed.
    #[serde(rename = "for")]
    bed: String,
    from_m: f64,
    length_m: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Cloth {
    /// Its name in words.
    cloth: String,
    rolls: Vec<Roll>,
    proof: Proof,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Roll {
    roll: String,
    sheets: Vec<Sheet>,
    /// What is left at the end.
    left_m: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Sheet {
    /// The bed.
    #[serde(rename = "for")]
    bed: String,
    along_from_m: f64,
    along_m: f64,
    across_from_m: f64,
    across_m: f64,
    /// Whether its length lies across the roll.
    turned: bool,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Proof {
    /// Money; null where a price is missing.
    cost: Option<f64>,
    /// Metres of rod or square metres of cloth.
    bought: f64,
    /// No way of cutting comes to less.
    at_least: f64,
    /// Distance to that as a share.
    gap: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Without {
    bed: String,
    /// What is missing, in words.
    lack: String,
}

/// The whole answer.
pub fn layout(list: &CutList, words: &GardenFormat) -> Cut {
    let without = list.without.iter();
    Cut {
        layout: LAYOUT,
        rods: list.rods.iter().map(|c| rod(c, words)).collect(),
        cloths: list.cloths.iter().map(|c| cloth(c, words)).collect(),
        without: without
            .map(|w| Without { bed: w.bed.clone(), lack: lack(w.wanted, words) })
            .collect(),
    }
}

fn rod(c: &RodCut, words: &GardenFormat) -> Rod {
    let piece = |p: &lengths::Piece| Length {
        bed: c.demands[p.demand].name.clone(),
        from_m: p.from_m,
        length_m: p.length_m,
    };
    let coil = |r: &lengths::CutRoll| Coil {
        roll: c.rolls[r.roll].name.clone(),
        pieces: r.pieces.iter().map(piece).collect(),
        left_m: r.offcut_m,
    };
    Rod {
        rod: words.rod(c.material, c.section),
        diameter_m: c.section.outer_m(),
        rolls: c.layout.rolls.iter().map(coil).collect(),
        proof: proof(&c.layout.proof),
    }
}

fn cloth(c: &ClothCut, words: &GardenFormat) -> Cloth {
    let sheet = |p: &sheets::Place| Sheet {
        bed: c.demands[p.demand].name.clone(),
        along_from_m: p.along_from_m,
        along_m: p.along_m,
        across_from_m: p.across_from_m,
        across_m: p.across_m,
        turned: p.turned,
    };
    let roll = |r: &sheets::CutRoll| Roll {
        roll: c.rolls[r.roll].name.clone(),
        sheets: r.strips.iter().flat_map(|s| &s.places).map(sheet).collect(),
        left_m: r.offcut_m,
    };
    Cloth {
        cloth: words.cloth(c.kind),
        rolls: c.layout.rolls.iter().map(roll).collect(),
        proof: proof(&c.layout.proof),
    }
}

fn proof(p: &CutProof) -> Proof {
    Proof { cost: p.cost, bought: p.bought, at_least: p.at_least, gap: p.gap }
}
