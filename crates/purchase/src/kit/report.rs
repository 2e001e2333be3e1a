//! The kit as plain data, in SI and the garden's own money.

use garden::need::Need;

use crate::kit::best::Found;
use crate::kit::build::{Built, StockItem};
use crate::kit::buying::Unit;
use crate::kit::problem::Roll;
use crate::kit::years::{Spread, Year};

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
    /// Beds whose hoops are reckoned to stand already.
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

/// The report of a kit.
pub(super) fn of(built: Built, found: &Found, free: Option<&Found>, spread: Spread) -> Kit {
    let covers = covers(&built, found, free, &spread);
    let mut sheets = Vec::new();
    let mut hoops = Vec::new();
    let mut place = vec![0; built.sizes.len()];
    for s in (0..built.sizes.len()).filter(|s| found.owned.pieces[*s] > 0) {
        let piece = piece(&built, found, s);
        let list = if matches!(piece.thing, StockItem::Rod(..)) { &mut hoops } else { &mut sheets };
        place[s] = list.len();
        list.push(piece);
    }
    let mut kit = Kit {
        covers,
        sheets,
        hoops,
        pins: found.owned.pins,
        clips: found.owned.clips,
        years: spread.years.iter().map(|y| bill(&built, found, y)).collect(),
        cost: cost(&built, found, free, spread.gap),
        no_rod: built.no_rod,
        standing: built.standing,
    };
    for cover in &mut kit.covers {
        if let Outcome::Met { sheet, .. } = &mut cover.outcome {
            *sheet = place[*sheet];
        }
    }
    kit
}

/// Each want's outcome; sheets by the problem's sizes.
fn covers(built: &Built, found: &Found, free: Option<&Found>, spread: &Spread) -> Vec<Cover> {
    let p = &built.problem;
    let outcome = |w: usize| {
        let year = spread.years.iter().position(|y| y.met.contains(&w));
        match (p.way(&found.choice, w), year) {
            (Some(way), Some(year)) => {
                Outcome::Met { sheet: way.size, pieces: way.pieces, year: year + 1 }
            }
            (Some(_), None) => Outcome::Unmet(Why::Budget),
            (None, _) => Outcome::Unmet(built.hindered[w].unwrap_or_else(|| {
                let scarce = |r: &Roll| r.at_most.is_some();
                match free {
                    Some(free) if free.choice[w].is_some() => Why::Budget,
                    _ if p.rolls.iter().any(scarce) => Why::Scarce,
                    _ => Why::TooDear,
                }
            })),
        }
    };
    let cover = |w: usize| Cover { bed: p.wants[w].bed, need: built.needs[w], outcome: outcome(w) };
    (0..p.wants.len()).map(cover).collect()
}

fn piece(built: &Built, found: &Found, s: usize) -> Piece {
    let p = &built.problem;
    let size = &p.sizes[s];
    let count = found.owned.pieces[s];
    let (users, unshared) = if let StockItem::Rod(..) = built.sizes[s] {
        let over = |b: usize| {
            let mine = |w: &usize| p.wants[*w].bed == b;
            let mut ways = (0..p.wants.len()).filter(mine).filter_map(|w| p.way(&found.choice, w));
            p.hoops[b].is_some_and(|h| h.size == s) && ways.any(|w| w.hoops)
        };
        ((0..p.hoops.len()).filter(|b| over(*b)).collect(), count)
    } else {
        let way = |w: &usize| p.way(&found.choice, *w).filter(|x| x.size == s);
        let users: Vec<usize> = (0..p.wants.len()).filter(|w| way(w).is_some()).collect();
        let unshared = users.iter().filter_map(way).map(|x| x.pieces).sum();
        (users, unshared)
    };
    let (width_m, length_m) = (size.width_m, size.length_m);
    Piece { thing: built.sizes[s], width_m, length_m, count, unshared, users }
}

/// All that is bought, as if in one year.
pub fn whole_bill(built: &Built, found: &Found) -> YearBill {
    let p = &built.problem;
    let year = Year {
        units: (0..found.bought.units.len()).collect(),
        pins: p.pins.short(found.owned.pins),
        clips: p.clips.short(found.owned.clips),
        met: (0..p.wants.len()).filter(|w| found.choice[*w].is_some()).collect(),
        spent: found.paid,
    };
    bill(built, found, &year)
}

/// A year's lines: rolls by kind, pins, clips.
fn bill(built: &Built, found: &Found, year: &Year) -> YearBill {
    let mut lines = Vec::new();
    for (r, (rod, i)) in built.rolls.iter().enumerate() {
        let units = year.units.iter().filter(|u| found.bought.units[**u].roll == r);
        let item = if *rod { Item::Rod(*i) } else { Item::Cloth(*i) };
        lines.push(Line { item, count: units.count() as u32, price: built.prices[r] });
    }
    let [pin, clip] = built.fixings;
    lines.push(Line { item: Item::Pins, count: year.pins, price: pin });
    lines.push(Line { item: Item::Clips, count: year.clips, price: clip });
    lines.retain(|l| l.count > 0);
    let spent = lines.iter().filter_map(|l| Some(f64::from(l.count) * l.price?)).sum();
    YearBill { lines, spent, met: year.met.clone() }
}

fn cost(built: &Built, found: &Found, free: Option<&Found>, years_gap: Option<f64>) -> Cost {
    let p = &built.problem;
    let a_season = found.a_season;
    let left = |u: &Unit| {
        let roll = &p.rolls[u.roll];
        u.left * roll.price / p.goods[roll.goods].seasons
    };
    let left: f64 = found.bought.units.iter().map(left).sum();
    Cost {
        by_area: built.by_area,
        paid: found.paid,
        a_season,
        used_a_season: (a_season - left).max(0.0),
        without_budget: free.map(|f| f.paid),
        at_least: found.at_least,
        gap: found.gap(),
        years_gap,
    }
}

impl Piece {
    /// Whether they lie in the shed already.
    #[must_use]
    pub fn in_shed(&self) -> bool {
        matches!(self.thing, StockItem::Stock(_))
    }
}
