//! The kit as plain data, in SI and the garden's own money.

use garden::need::Need;
use garden::stock::SheetKind;
use structure::{Material, Section};

/// The whole answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Kit {
    /// Every cover that a bed is to carry, in the order of the beds.
    pub covers: Vec<Cover>,
    /// Sheets to own, by size: first those in the shed, then those to cut.
    pub sheets: Vec<Piece>,
    /// Hoops to cut, by length.
    pub hoops: Vec<Piece>,
    /// Most ground pins wanted at one time.
    pub pins: u32,
    /// Most clips wanted at one time.
    pub clips: u32,
    /// What is bought in each year.
    pub years: Vec<YearBill>,
    /// What it costs.
    pub cost: Cost,
    /// Beds whose hoops no rod on offer is like, or long enough for: left out of the bill.
    pub no_rod: Vec<usize>,
    /// Beds whose hoops are taken to stand already.
    pub standing: Vec<usize>,
}

/// One cover of one bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Cover {
    /// Index of the bed.
    pub bed: usize,
    /// What is needed when.
    pub need: Need,
    /// Whether it is met.
    pub outcome: Outcome,
}

/// Whether and how a need is met.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outcome {
    /// By these sheets.
    Met {
        /// Index into [`Kit::sheets`].
        sheet: usize,
        /// Sheets end to end.
        pieces: u32,
        /// First year in which all of it is there, from 1.
        year: usize,
    },
    /// Not at all.
    Unmet(Why),
}

/// Why a need stays unmet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// The plants are too tall for the bed's hoops and for a sheet laid on them; or film, and no hoops.
    CannotLie,
    /// No cloth of the kind and weight in the shed or on offer.
    NoCloth,
    /// Such cloth is too small.
    TooSmall,
    /// It would be met if more could be spent.
    Budget,
    /// It would cost more a season than what grows there is worth.
    TooDear,
    /// There may be too few rolls to be had; else it is too dear.
    Scarce,
}

/// Like pieces.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// What it is.
    pub thing: StockItem,
    /// Across the bed, m; 1 for hoops.
    pub width_m: f64,
    /// Along the bed, or of the hoop, m.
    pub length_m: f64,
    /// How many are wanted at one time, and so to own.
    pub count: u32,
    /// How many it would be if nothing were shared.
    pub unshared: u32,
    /// Indices of [`Kit::covers`] that use them; of beds for hoops.
    pub users: Vec<usize>,
}

/// One year's purchases.
#[derive(Clone, Debug, PartialEq)]
pub struct YearBill {
    /// What is bought.
    pub lines: Vec<Line>,
    /// Money, of what has a price.
    pub spent: f64,
    /// Indices of [`Kit::covers`] that are met from this year on.
    pub met: Vec<usize>,
}

/// One line of a bill.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// What.
    pub item: Item,
    /// How many.
    pub count: u32,
    /// Price of one; `None` where the garden file has none.
    pub price: Option<f64>,
}

/// What can be bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Item {
    /// `supply.cloths[i]`.
    Cloth(usize),
    /// `supply.rods[i]`.
    Rod(usize),
    /// Ground pins.
    Pins,
    /// Clips.
    Clips,
}

/// What the kit costs, and how good that is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cost {
    /// Whether cloth is counted by area (m²) because a price is missing; the sums below are then m², else money.
    pub by_area: bool,
    /// All that is bought.
    pub paid: f64,
    /// What it costs a season: each thing over the seasons it lasts.
    pub a_season: f64,
    /// Of that, the share of the rolls that is really used; the rest is left on the rolls.
    pub used_a_season: f64,
    /// What would be paid without a budget, where the budget leaves something unmet.
    pub without_budget: Option<f64>,
    /// Cost a season with the worth of what is unmet, and no kit can have less.
    pub at_least: f64,
    /// How much dearer than the best it can be at most, as a share of its cost; 0 is proven best.
    pub gap: f64,
    /// The same for the order of buying; `None` when nothing is proven.
    pub years_gap: Option<f64>,
}

/// What a size or a good is in the garden file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StockItem {
    /// `stock.sheets[i]`.
    Stock(usize),
    /// Cloth of a kind.
    Cloth(SheetKind),
    /// Wire or rod for hoops.
    Rod(Material, Section),
}

impl Piece {
    /// Whether they lie in the shed already.
    #[must_use]
    pub fn in_shed(&self) -> bool {
        matches!(self.thing, StockItem::Stock(_))
    }
}
