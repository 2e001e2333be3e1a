//! What can be put over a bed: every cover its stock truly allows, with what it uses up.

use crate::bed::Bed;
use crate::crops;
use crate::garden::Garden;
use crate::stock::{PopUp, Sheet, SheetKind};

/// How a cover lies on a bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Placement {
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
    pub lie: Placement,
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

impl Cover {
    /// Whether it is film, which cooks plants in the sun.
    #[must_use]
    pub fn is_film(&self) -> bool {
        self.cloth.is_some_and(|c| matches!(c.kind, SheetKind::Film { .. }))
    }
}

/// The cloth of a cover.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cloth {
    /// What it is.
    pub kind: SheetKind,
    /// Share of it that is open by holes and rents.
    pub open_share: f64,
}

/// Skirt beyond which the rest is rolled up, m (6 in; common practice, no source).
pub const ROLL_BEYOND_M: f64 = 0.1524;

/// Least skirt on each side for pins to hold, m (10 cm, in US units 4 in; common practice, no source).
pub const LEAST_SKIRT_M: f64 = 0.10;
/// Overlap where two sheets are joined end to end, m (1 ft; common practice, no source).
pub const OVERLAP_M: f64 = 0.3048;
/// Most sheets laid end to end over one bed.
pub const MOST_PIECES: u32 = 6;
/// Plants higher than this are draped, not floated over, m.
const TALLEST_FLOATED_M: f64 = 0.6;
/// Plants at most this high may be strewn with loose mulch, m (common practice, no source).
const TALLEST_STREWN_M: f64 = 0.12;
/// How thick it is strewn, m (common practice, no source).
pub(crate) const STREWN_M: f64 = 0.10;
/// How far plants may stand above the crown of their hoops, bent under the cloth, m (from memory).
const BENT_UNDER_M: f64 = 0.1;
/// Distance of pins around a sheet without hoops, m (common practice, no source).
const PIN_EVERY_M: f64 = 0.75;
/// Least span of a ready-made tunnel over the width of the bed (from memory).
const LEAST_POP_UP_SPAN: f64 = 0.9;
/// Tolerance of lengths, m, so that 72 in over 64 in leaves its 4 in.
pub(crate) const HAIR_M: f64 = 1e-6;

// Person-minutes (all from memory).

/// To fetch and unfold whatever is laid.
pub const BEGIN_MIN: f64 = 2.0;
/// To lay one layer over a metre of bed: the share of walking the bed, and that of each layer.
const METRE_MIN: f64 = 0.25;
const WALK_SHARE: f64 = 0.4;
const LAYER_SHARE: f64 = 0.6;
/// To set a pin or a clip.
const PIN_MIN: f64 = 0.1;
/// To join two sheets.
const JOINT_MIN: f64 = 1.0;
/// To roll up a metre of wide skirt.
const ROLL_METRE_MIN: f64 = 0.1;
/// To set up a ready-made tunnel.
const POP_UP_MIN: f64 = 1.5;
/// To strew a square metre, and rake it off in the morning.
const STREW_M2_MIN: f64 = 0.8;

/// Every cover from the garden's stock that truly fits `bed`; staying open is not listed.
/// Checked by `fit::every_cover_fits_by_an_independent_count`.
#[must_use]
pub fn covers(garden: &Garden, bed: &Bed) -> Vec<Cover> {
    let mut out = Vec::new();
    let height = bed.plantings.iter().map(|p| p.height_m).fold(0.0, f64::max);
    let tree = bed.plantings.iter().any(|p| crops::is_tree(p.crop));
    for (i, sheet) in garden.stock.sheets.iter().enumerate() {
        for layers in 1..=2 {
            out.extend(laid(garden, bed, i, sheet, layers, height, tree));
        }
    }
    for (i, pop_up) in garden.stock.pop_ups.iter().enumerate() {
        out.extend(popped(bed, i, pop_up, height));
    }
    out.extend(strewn(garden, bed, height));
    out
}

fn laid(
    garden: &Garden,
    bed: &Bed,
    index: usize,
    sheet: &Sheet,
    layers: u32,
    height: f64,
    tree: bool,
) -> Option<Cover> {
    let nonwoven = matches!(sheet.kind, SheetKind::RowCover { .. });
    if layers == 2 && !nonwoven {
        return None;
    }
    let needed = shape(bed, sheet.kind, height, tree)?;
    let skirt_m = needed.skirt_m(sheet.width_m)?;
    let pieces = needed.pieces(sheet.length_m)?;
    let Needed { lie, pins, clips, .. } = needed;
    let total = pieces * layers;
    if total > sheet.count || pins > garden.stock.hold_downs() || clips > garden.stock.clips {
        return None;
    }
    let roll_up = skirt_m > ROLL_BEYOND_M;
    let minutes = work_minutes(bed.length_m, pins, clips, layers, pieces, roll_up);
    let mut uses = vec![(Item::Sheet(index), total), (Item::Pins, pins)];
    if clips > 0 {
        uses.push((Item::Clips, clips));
    }
    Some(Cover {
        lie,
        cloth: Some(Cloth { kind: sheet.kind, open_share: sheet.open_share() }),
        layers,
        pieces,
        skirt_m,
        roll_up,
        uses,
        minutes,
        claim_k: sheet.claim_k,
    })
}

/// Sheets of `length_m` that reach over `along_m` end to end, each after the first losing [`OVERLAP_M`]; `None` beyond [`MOST_PIECES`].
#[must_use]
pub fn pieces(along_m: f64, length_m: f64) -> Option<u32> {
    let reach = |n: u32| f64::from(n) * length_m - f64::from(n - 1) * OVERLAP_M;
    (1..=MOST_PIECES).find(|n| reach(*n) >= along_m - HAIR_M)
}

/// What a cover must reach over on one bed, whatever sheet it is of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Needed {
    /// How it would lie.
    pub lie: Placement,
    /// From the ground on one side to the ground on the other, m, without skirts.
    pub across_m: f64,
    /// From the ground at one end to the ground at the other, m.
    pub along_m: f64,
    /// Ground pins.
    pub pins: u32,
    /// Clips.
    pub clips: u32,
}

impl Needed {
    /// Skirt on each side under a sheet of `width_m`, (width − across)/2, m; `None` below [`LEAST_SKIRT_M`].
    #[must_use]
    pub fn skirt_m(&self, width_m: f64) -> Option<f64> {
        let skirt_m = 0.5 * (width_m - self.across_m);
        (skirt_m >= LEAST_SKIRT_M - HAIR_M).then_some(skirt_m)
    }

    /// Sheets of `length_m` laid end to end, each after the first losing [`OVERLAP_M`]; `None` beyond [`MOST_PIECES`].
    #[must_use]
    pub fn pieces(&self, length_m: f64) -> Option<u32> {
        pieces(self.along_m, length_m)
    }

    /// Least length of each of `pieces` sheets end to end, (along + (n − 1) overlap)/n, m.
    /// Checked by `fit::what_a_bed_needs_is_what_its_covers_take`.
    /// Equation 63 of docs/science.md.
    #[must_use]
    pub fn length_m(&self, pieces: u32) -> f64 {
        let n = f64::from(pieces.max(1));
        (self.along_m + (n - 1.0) * OVERLAP_M) / n
    }
}

/// What a cover of a kind must reach over on `bed`; `None` where it cannot lie: too tall for its hoops or for floating.
/// Checked by `fit::what_a_bed_needs_is_what_its_covers_take`.
#[must_use]
pub fn needed(bed: &Bed, kind: SheetKind) -> Option<Needed> {
    let height = bed.plantings.iter().map(|p| p.height_m).fold(0.0, f64::max);
    let tree = bed.plantings.iter().any(|p| crops::is_tree(p.crop));
    shape(bed, kind, height, tree)
}

fn shape(bed: &Bed, kind: SheetKind, height: f64, tree: bool) -> Option<Needed> {
    let film = matches!(kind, SheetKind::Film { .. });
    let (lie, across_m, end_m, pins, clips) = match bed.hoops {
        Some(hoops) if !tree && height <= hoops.rise_m() + BENT_UNDER_M => {
            let (arch_m, rise_m) = (hoops.arch_m(), hoops.rise_m());
            let stands = hoops.count(bed.length_m);
            // A pin on each side of every hoop and one at each end; two clips a hoop for slippery film.
            let lie = Placement::LowTunnel { span_m: hoops.span_m(), arch_m, rise_m };
            (lie, arch_m, rise_m, 2 * stands + 2, if film { 2 * stands } else { 0 })
        }
        _ if tree => (Placement::Drape, 2.0 * height + bed.width_m, height, round_pins(bed), 0),
        _ if height <= TALLEST_FLOATED_M && !film => {
            (Placement::Floating, bed.width_m + 2.0 * height, height, round_pins(bed), 0)
        }
        _ => return None,
    };
    Some(Needed { lie, across_m, along_m: bed.length_m + 2.0 * end_m, pins, clips })
}

/// Pins all around.
fn round_pins(bed: &Bed) -> u32 {
    (2.0 * (bed.length_m + bed.width_m) / PIN_EVERY_M).ceil() as u32
}

/// Person-minutes to lay cloth on a bed without pins, joints or rolling up.
pub(crate) fn lay_minutes(length_m: f64, layers: u32) -> f64 {
    work_minutes(length_m, 0, 0, layers, 1, false)
}

/// Person-minutes to lay a cover.
fn work_minutes(length_m: f64, pins: u32, clips: u32, layers: u32, pieces: u32, roll: bool) -> f64 {
    BEGIN_MIN
        + METRE_MIN * length_m * (WALK_SHARE + LAYER_SHARE * f64::from(layers))
        + PIN_MIN * f64::from(pins + clips)
        + JOINT_MIN * f64::from(pieces - 1)
        + if roll { ROLL_METRE_MIN * length_m } else { 0.0 }
}

fn popped(bed: &Bed, index: usize, pop_up: &PopUp, height: f64) -> Option<Cover> {
    let wide = pop_up.span_m >= LEAST_POP_UP_SPAN * bed.width_m && height <= pop_up.height_m;
    let pieces = (bed.length_m / pop_up.length_m).ceil() as u32;
    if !wide || pieces > pop_up.count || pieces == 0 {
        return None;
    }
    let (b, h) = (pop_up.span_m, pop_up.height_m);
    // Perimeter of half an ellipse by Ramanujan's first formula.
    let (p, q) = (0.5 * b, h);
    let arch_m =
        0.5 * std::f64::consts::PI * (3.0 * (p + q) - ((3.0 * p + q) * (p + 3.0 * q)).sqrt());
    Some(Cover {
        lie: Placement::PopUp { span_m: b, arch_m, rise_m: h },
        cloth: Some(Cloth { kind: pop_up.kind, open_share: 0.0 }),
        layers: 1,
        pieces,
        skirt_m: 0.0,
        roll_up: false,
        uses: vec![(Item::PopUp(index), pieces)],
        minutes: POP_UP_MIN * f64::from(pieces),
        claim_k: pop_up.claim_k,
    })
}

fn strewn(garden: &Garden, bed: &Bed, height: f64) -> Option<Cover> {
    let litres = (1000.0 * STREWN_M * bed.length_m * bed.width_m).ceil();
    let low = height <= TALLEST_STREWN_M
        && !bed.plantings.is_empty()
        && bed.plantings.iter().all(|p| crops::mulch_may_do(p.crop, p.stage));
    if !low || litres > 1000.0 * garden.stock.loose_mulch_m3 {
        return None;
    }
    Some(Cover {
        lie: Placement::LooseMulch { depth_m: STREWN_M },
        cloth: None,
        layers: 0,
        pieces: 0,
        skirt_m: 0.0,
        roll_up: false,
        uses: vec![(Item::LooseMulchLitres, litres as u32)],
        minutes: BEGIN_MIN + STREW_M2_MIN * bed.length_m * bed.width_m,
        claim_k: None,
    })
}
