//! What lies on each bed, from what was noted: the one place that says what "covered" means.
//!
//! A note of a cover put on and a task done say the same: that sheet lies on that bed from then on, shut. Nothing is
//! judged here: a sheet on two beds, or more sheets than there are, comes out as it was noted, for the caller to tell.

use quantities::Moment;

use crate::entries::JudgedEntry;
use crate::entry::{Act, Cover, Entry, Placement, What};
use crate::id::Id;

/// How a bed is covered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Openness {
    /// Everything on it is down and shut.
    Shut,
    /// Ends or slits are open.
    EndsOpen,
    /// One side is up.
    HalfOff,
    /// Nothing lies on it.
    Off,
}

/// A sheet or pop-up tunnel that lies on a bed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LyingSheet {
    /// Its name; `None` where nobody said which.
    pub sheet: Option<String>,
    /// Layers of it; `None` where nobody said.
    pub layers: Option<u32>,
    /// How it lies; `None` where nobody said.
    pub placement: Option<Placement>,
    /// When it was put on, or first seen there.
    pub since: Moment,
    /// The entry that says so.
    pub entry: Id,
    /// The entry that put it there, however often it was renewed since.
    pub first: Id,
}

/// A bed of which the diary tells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BedState {
    /// Bed, as it was last spelled.
    pub bed: String,
    /// What lies on it, in the order laid; empty where nothing does.
    pub sheets: Vec<LyingSheet>,
    /// How it is covered.
    pub openness: Openness,
    /// When it was last covered, opened or moved.
    pub since: Moment,
    /// The entry that says so, to take it back.
    pub entry: Id,
}

impl BedState {
    /// The sheet laid last of those that lie.
    #[must_use]
    pub fn newest_sheet(&self) -> Option<&LyingSheet> {
        self.sheets.iter().max_by_key(|s| s.since)
    }

    /// Whether it is the bed of that name.
    #[must_use]
    pub fn is_bed(&self, name: &str) -> bool {
        alike(&self.bed, name)
    }

    /// Whether it was covered from `from` on and lies shut, with that sheet where one is named.
    #[must_use]
    pub fn is_covered_since(&self, from: Moment, sheet: Option<&str>) -> bool {
        let this = |s: &LyingSheet| {
            s.since >= from && (sheet.is_none() || same(s.sheet.as_deref(), sheet))
        };
        self.openness == Openness::Shut && self.sheets.iter().any(this)
    }
}

/// What lies on each bed at a moment, by the entries that stand and happened until then; beds in the order in which the
/// diary first tells of them. Upper and lower case are alike in the names of beds and sheets.
///
/// Putting on another sheet adds it, the same one renews it. Taking off a sheet that is named takes off that one; taking
/// off without a name, or one that is not known to lie, clears the bed.
#[must_use]
pub fn lying(entries: &[JudgedEntry], at: Moment) -> Vec<BedState> {
    replayed(entries, at, |_, _| {})
}

/// The same, telling of each bed after each of its moves, and when that was.
pub(crate) fn replayed(
    entries: &[JudgedEntry],
    at: Moment,
    mut moved_to: impl FnMut(&BedState, Moment),
) -> Vec<BedState> {
    let mut moves: Vec<(&Entry, Act, &Cover)> = entries
        .iter()
        .filter(|j| j.stands && j.entry.at <= at)
        .filter_map(|j| moved(&j.entry))
        .collect();
    // What happened first, whatever was written first; a stable sort keeps the order written where both happened at once.
    moves.sort_by_key(|(entry, ..)| entry.at);
    let mut beds: Vec<BedState> = Vec::new();
    for (entry, act, cover) in moves {
        let bed = match beds.iter().position(|b| b.is_bed(&cover.bed)) {
            Some(n) => beds.get_mut(n),
            None => {
                beds.push(BedState {
                    bed: cover.bed.clone(),
                    sheets: Vec::new(),
                    openness: Openness::Off,
                    since: entry.at,
                    entry: entry.id.clone(),
                });
                beds.last_mut()
            }
        };
        if let Some(bed) = bed {
            step(bed, entry, act, cover);
            moved_to(bed, entry.at);
        }
    }
    beds
}

/// What an entry says of a cover; a task done is a cover put on.
fn moved(entry: &Entry) -> Option<(&Entry, Act, &Cover)> {
    match &entry.what {
        What::Cover { act, cover } => Some((entry, *act, cover)),
        What::Done { cover: Some(cover), .. } => Some((entry, Act::Covered, cover)),
        _ => None,
    }
}

/// One bed after one entry.
fn step(bed: &mut BedState, entry: &Entry, act: Act, cover: &Cover) {
    bed.bed.clone_from(&cover.bed);
    bed.since = entry.at;
    bed.entry = entry.id.clone();
    let sheet = cover.sheet.as_deref();
    match act {
        Act::Covered => {
            lay(bed, entry, cover, true);
            bed.openness = Openness::Shut;
        }
        Act::Opened => {
            let known =
                sheet.is_some() && bed.sheets.iter().any(|s| same(s.sheet.as_deref(), sheet));
            bed.sheets.retain(|s| known && !same(s.sheet.as_deref(), sheet));
            if bed.sheets.is_empty() {
                bed.openness = Openness::Off;
            }
        }
        Act::HalfOpen => {
            lay(bed, entry, cover, false);
            bed.openness = Openness::HalfOff;
        }
        Act::Vented => {
            lay(bed, entry, cover, false);
            bed.openness = Openness::EndsOpen;
        }
    }
}

/// The sheet lies on the bed. One that is put on without a name where some lie is one of those.
fn lay(bed: &mut BedState, entry: &Entry, cover: &Cover, anew: bool) {
    let sheet = cover.sheet.as_deref();
    let nameless_mulch = cover.placement == Some(Placement::LooseMulch);
    let there = bed.sheets.iter().position(|s| match (s.sheet.as_deref(), sheet) {
        (Some(a), Some(b)) => alike(a, b),
        // Something of which nobody said what it is now has a name.
        (None, Some(_)) => s.placement != Some(Placement::LooseMulch),
        (None, None) => (s.placement == Some(Placement::LooseMulch)) == nameless_mulch,
        (Some(_), None) => false,
    });
    let unnamed = sheet.is_none() && !nameless_mulch;
    if let Some(old) = there.and_then(|n| bed.sheets.get_mut(n)) {
        old.sheet = cover.sheet.clone().or(old.sheet.take());
        old.layers = cover.layers.or(old.layers.filter(|_| !anew));
        old.placement = cover.placement.or(old.placement.filter(|_| !anew));
        if anew {
            (old.since, old.entry) = (entry.at, entry.id.clone());
        }
    } else if unnamed && !bed.sheets.is_empty() {
        if anew && let Some(last) = bed.sheets.last_mut() {
            (last.since, last.entry) = (entry.at, entry.id.clone());
        }
    } else {
        bed.sheets.push(LyingSheet {
            sheet: cover.sheet.clone(),
            layers: cover.layers,
            placement: cover.placement,
            since: entry.at,
            entry: entry.id.clone(),
            first: entry.id.clone(),
        });
    }
}

fn alike(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

fn same(a: Option<&str>, b: Option<&str>) -> bool {
    matches!((a, b), (Some(a), Some(b)) if alike(a, b))
}
