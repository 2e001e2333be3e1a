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
    by_line(&cover.uses, lines)
}

/// Things of the stock by their line.
#[must_use]
pub fn by_line(things: &[(Item, u32)], lines: &[(Item, u32)]) -> Vec<(usize, u32)> {
    let place = |item: &Item| lines.iter().position(|l| l.0 == *item);
    things.iter().filter_map(|(i, n)| Some((place(i)?, *n))).collect()
}

/// Person-seconds that there are for an evening or a morning.
#[must_use]
pub fn person_seconds(garden: &Garden) -> u32 {
    (60.0 * f64::from(garden.labour.people) * garden.labour.minutes_each) as u32
}

/// Person-seconds of laying a cover, the walk to its bed included.
#[must_use]
pub fn seconds(cover: &Cover) -> u32 {
    with_walk(cover.minutes)
}

/// Person-seconds of so many person-minutes at a bed, the walk to it included.
#[must_use]
pub fn with_walk(minutes: f64) -> u32 {
    (60.0 * (minutes + WALK_MINUTES)).round() as u32
}
