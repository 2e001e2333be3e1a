//! The life of each sheet: the diary's stays as stretches in the sun.

use diary::entries::JudgedEntry;
use diary::entry::{SheetState, What};
use diary::stays::{Stay, stays};
use garden::Garden;
use garden::lying::alike;
use garden::wear::{Out, Worn, worn};
use quantities::{Interval, Moment};

/// What is known of a sheet's life.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Life {
    /// What one of its pieces has been through.
    pub worn: Worn,
    /// Since when the diary tells of it: its first stay, or the first after it was replaced.
    pub since: Moment,
}

/// The life of every sheet of the stock, in its order; `None` where no stay is noted.
pub fn life(garden: &Garden, entries: &[JudgedEntry], now: Moment) -> Vec<Option<Life>> {
    let stays = stays(entries, now);
    (0..garden.stock.sheets.len()).map(|n| life_until(garden, &stays, entries, n, now)).collect()
}

/// The life of sheet `n` until a moment, what lies taken to lie on. A note that the sheet is out of use begins a new one: what is
/// put on under its name from then on is what replaced it.
pub fn life_until(
    garden: &Garden,
    stays: &[Stay],
    entries: &[JudgedEntry],
    n: usize,
    until: Moment,
) -> Option<Life> {
    let sheet = garden.stock.sheets.get(n)?;
    let new_from = last_retired(entries, &sheet.name, until);
    let of = |s: &&Stay| s.sheet.as_ref().is_some_and(|name| alike(name, &sheet.name));
    let of_new = |s: &&Stay| s.from < until && new_from.is_none_or(|new| s.from >= new);
    let mine: Vec<&Stay> = stays.iter().filter(of).filter(of_new).collect();
    let out: Vec<Out> = mine
        .iter()
        .map(|s| Out {
            interval: Interval { start: s.from, end: s.to.unwrap_or(until).min(until) },
            pieces: pieces(garden, s),
        })
        .collect();
    let since = mine.iter().map(|s| s.from).min()?;
    Some(Life { worn: worn(sheet, &garden.place, &out), since })
}

/// Pieces of a sheet that a stay takes: its layers, and as many end to end as the bed is long.
pub fn pieces(garden: &Garden, stay: &Stay) -> u32 {
    let bed = garden.beds.iter().find(|b| alike(&b.name, &stay.bed));
    let sheet = stay.sheet.as_ref();
    let sheet = sheet.and_then(|name| garden.stock.sheets.iter().find(|s| alike(&s.name, name)));
    let along = bed.zip(sheet).map_or(1.0, |(b, s)| (b.length_m / s.length_m).ceil());
    stay.layers.unwrap_or(1).max(1).saturating_mul((along as u32).max(1))
}

/// Whether the last that was noted of a sheet is that it is out of use.
pub fn retired(entries: &[JudgedEntry], name: &str, now: Moment) -> bool {
    last_retired(entries, name, now).is_some_and(|at| {
        let laid = |e: &&JudgedEntry| e.stands && e.entry.at > at && e.entry.at <= now;
        let here = |e: &JudgedEntry| {
            e.entry.cover().and_then(|c| c.sheet.as_ref()).is_some_and(|s| alike(s, name))
        };
        !entries.iter().filter(laid).any(here)
    })
}

fn last_retired(entries: &[JudgedEntry], name: &str, until: Moment) -> Option<Moment> {
    let of = |e: &&JudgedEntry| {
        let state = |w: &What| match w {
            What::Sheet { state: SheetState::Retired, sheet } => alike(sheet, name),
            _ => false,
        };
        e.stands && e.entry.at <= until && state(&e.entry.what)
    };
    entries.iter().filter(of).map(|e| e.entry.at).max()
}
