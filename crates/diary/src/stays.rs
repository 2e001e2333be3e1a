//! How long each sheet lay where, from what was noted: the moves of [`crate::state`], kept from one to the next.

use quantities::Moment;

use crate::entries::JudgedEntry;
use crate::id::Id;
use crate::state::{BedState, LyingSheet, replayed};

/// A sheet on a bed, from the note that put it there to the one that took it away.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stay {
    /// Bed.
    pub bed: String,
    /// Sheet or pop-up tunnel, as it was last spelled; `None` where nobody said which, and for loose mulch.
    pub sheet: Option<String>,
    /// Layers of it, as last noted; `None` where nobody said.
    pub layers: Option<u32>,
    /// Put there, or first seen there.
    pub from: Moment,
    /// Taken away; `None` while it still lies.
    pub to: Option<Moment>,
    /// The entry that put it there.
    by: Id,
}

/// Every stay until a moment, in the order of their beginnings. A cover pulled aside or with open ends stays where it is.
///
/// Checked by `state::stays_end_where_a_sheet_is_taken_off`.
#[must_use]
pub fn stays(entries: &[JudgedEntry], until: Moment) -> Vec<Stay> {
    let mut out: Vec<Stay> = Vec::new();
    // The stays that have not ended, by their place in `out`.
    let mut open: Vec<usize> = Vec::new();
    replayed(entries, until, |bed: &BedState, at: Moment| {
        open.retain(|n| {
            let Some(stay) = out.get_mut(*n).filter(|s| bed.is_bed(&s.bed)) else { return true };
            match bed.sheets.iter().find(|s| s.first == stay.by) {
                Some(still) => {
                    (stay.sheet, stay.layers) = (still.sheet.clone(), still.layers);
                    true
                }
                None => {
                    stay.to = Some(at);
                    false
                }
            }
        });
        for new in &bed.sheets {
            if !open.iter().any(|n| out.get(*n).is_some_and(|s| s.by == new.first)) {
                open.push(out.len());
                out.push(begun(bed, new, at));
            }
        }
    });
    out
}

fn begun(bed: &BedState, sheet: &LyingSheet, at: Moment) -> Stay {
    Stay {
        bed: bed.bed.clone(),
        sheet: sheet.sheet.clone(),
        layers: sheet.layers,
        from: at,
        to: None,
        by: sheet.first.clone(),
    }
}
