//! What is short over the nights ahead, and what more of it would save.

use garden::Garden;
use garden::fit::Item;
use milp::Microlp;

use crate::error::Error;
use crate::horizon::shortages::{Shortage, Thing, saving, short as priced};
use crate::horizon::{Problem, Settings, SeveralNights};
use crate::plan::stock;
use crate::week::report::{Short, ShortThing};

/// Things whose saving is checked at most; each plans all nights again.
const MOST: usize = 3;
/// Pins, clips and litres of straw that are tried more at once (chosen).
const HANDFUL: u32 = 20;
const SACK_LITRES: u32 = 200;
/// More than so many handfuls are not thought of.
const MOST_HANDFULS: u32 = 5;
/// Money below which a saving is not told (chosen).
const WORTH_TELLING: f64 = 1.0;

/// What is short, the most saved first.
///
/// # Errors
/// [`Error::Plan`].
pub fn short(
    garden: &Garden,
    problem: &Problem,
    found: &SeveralNights,
    settings: Settings,
) -> Result<Vec<Short>, Error> {
    let lines = stock::lines(garden);
    let named = |s: &Shortage| -> Option<(ShortThing, u32)> {
        let (thing, usual) = match s.thing {
            Thing::Stock(line) => match lines.get(line)?.0 {
                item @ (Item::Sheet(_) | Item::PopUp(_)) => (ShortThing::Stock(item), 1),
                item @ (Item::Pins | Item::Clips) => (ShortThing::Stock(item), HANDFUL),
                item @ Item::LooseMulchLitres => (ShortThing::Stock(item), SACK_LITRES),
            },
            Thing::Second(part) => {
                (ShortThing::Person(part), (60.0 * garden.labour.minutes_each) as u32)
            }
        };
        let handfuls = s.frees_at.map_or(1, |n| n.div_ceil(usual.max(1))).clamp(1, MOST_HANDFULS);
        Some((thing, if s.price > 0.0 { usual } else { usual * handfuls }))
    };
    let mut likely: Vec<(f64, Thing, ShortThing, u32)> = priced(problem, &found.dual)
        .iter()
        .filter(|s| s.price > 0.0)
        .filter_map(|s| named(s).map(|(t, n)| (s.price * f64::from(n), s.thing, t, n)))
        .filter(|s| s.0 >= WORTH_TELLING)
        .collect();
    likely.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut out = Vec::new();
    for (_, thing, named, amount) in likely.into_iter().take(MOST) {
        let more = saving(problem, found, (thing, amount), settings, &Microlp)?;
        if more.saved >= WORTH_TELLING && more.saved > more.standard_error {
            let amount = if matches!(named, ShortThing::Person(_)) { 1 } else { amount };
            let (saves, standard_error) = (more.saved, more.standard_error);
            out.push(Short { thing: named, amount, saves, standard_error });
        }
    }
    out.sort_by(|a, b| b.saves.total_cmp(&a.saves));
    Ok(out)
}
