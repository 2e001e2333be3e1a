//! The answer from a choice: back from indices to what the garden file calls things.

use crate::kit::answer::{Cost, Cover, Item, Kit, Line, Outcome, Piece, StockItem, Why, YearBill};
use crate::kit::build::Built;
use crate::kit::buying::BoughtRoll;
use crate::kit::found::Found;
use crate::kit::problem::Roll;
use crate::kit::years::{Spread, Year};

/// The report of a kit.
pub fn report(built: Built, found: &Found, free: Option<&Found>, spread: Spread) -> Kit {
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
    let left = |u: &BoughtRoll| {
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
