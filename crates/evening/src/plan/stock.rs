//! The garden's stock and the work of a cover as the planner counts them.

use garden::fit::{Cover, Item};
use garden::garden::Garden;

use crate::constants::WALK_MINUTES;

/// One stock line for each kind of sheet and pop-up, pins, clips and loose mulch, with what there is of it.
#[must_use]
pub fn lines(garden: &Garden) -> Vec<(Item, u32)> {
    let stock = &garden.stock;
    let sheets = stock.sheets.iter().enumerate().map(|(i, s)| (Item::Sheet(i), s.count));
    let pop_ups = stock.pop_ups.iter().enumerate().map(|(i, p)| (Item::PopUp(i), p.count));
    let loose = (1000.0 * stock.loose_mulch_m3) as u32;
    let rest = [
        (Item::Pins, stock.hold_downs()),
        (Item::Clips, stock.clips),
        (Item::LooseMulchLitres, loose),
    ];
    sheets.chain(pop_ups).chain(rest).collect()
}

/// What a cover takes from each line, by its index.
#[must_use]
pub fn uses(cover: &Cover, lines: &[(Item, u32)]) -> Vec<(usize, u32)> {
    let place = |item: &Item| lines.iter().position(|l| l.0 == *item);
    cover.uses.iter().filter_map(|(i, n)| Some((place(i)?, *n))).collect()
}

/// Person-seconds of laying a cover, the walk to its bed included.
#[must_use]
pub fn seconds(cover: &Cover) -> u32 {
    (60.0 * (cover.minutes + WALK_MINUTES)).round() as u32
}
