//! What several answers hold as JSON: a spread, and what a cover takes from the stock.

use evening::report;
use garden::Garden;
use garden::fit::{Cover, Item};
use serde::Serialize;

/// The middle and the edges of what may happen.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Spread {
    pub p10: f64,
    pub p50: f64,
    pub p90: f64,
}

/// A spread of a report.
pub fn spread(s: &report::Spread) -> Spread {
    Spread { p10: s.p10, p50: s.p50, p90: s.p90 }
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Use {
    /// A sheet or pop-up tunnel by its name, or `pins`, `clips`, `loose mulch, litres`.
    item: String,
    count: u32,
}

/// What a cover takes from the stock.
pub fn uses(cover: &Cover, garden: &Garden) -> Vec<Use> {
    cover.uses.iter().map(|(item, n)| Use { item: item_name(item, garden), count: *n }).collect()
}

/// The name of something in the stock.
pub fn item_name(item: &Item, garden: &Garden) -> String {
    let name = match item {
        Item::Sheet(i) => garden.stock.sheets.get(*i).map_or("?", |s| &s.name),
        Item::PopUp(i) => garden.stock.pop_ups.get(*i).map_or("?", |p| &p.name),
        Item::Pins => "pins",
        Item::Clips => "clips",
        Item::LooseMulchLitres => "loose mulch, litres",
    };
    name.to_owned()
}
