//! What the diary's notes say of covers, by name, for the garden's state.

use diary::Diary;
use diary::entries::JudgedEntry;
use diary::entry::Placement;
use diary::state::{self, BedState, Openness};
use garden::lying::{NotedBed, NotedSheet, Opening};
use quantities::Moment;

/// What is noted of each bed at a moment.
pub fn noted(entries: &[JudgedEntry], at: Moment) -> Vec<NotedBed> {
    state::lying(entries, at).iter().map(bed).collect()
}

/// The same from a diary; nothing where it cannot be read.
pub fn noted_in(diary: Option<&Diary>, at: Moment) -> Vec<NotedBed> {
    let entries = diary.and_then(|d| d.entries().ok()).unwrap_or_default();
    noted(&entries, at)
}

fn bed(of: &BedState) -> NotedBed {
    let sheets = of.sheets.iter().map(|s| NotedSheet {
        name: s.sheet.clone(),
        layers: s.layers,
        loose_mulch: s.placement == Some(Placement::LooseMulch),
        since: s.since,
    });
    NotedBed {
        bed: of.bed.clone(),
        sheets: sheets.collect(),
        opening: match of.openness {
            Openness::EndsOpen => Opening::EndsOpen,
            Openness::HalfOff => Opening::HalfOff,
            Openness::Shut | Openness::Off => Opening::Shut,
        },
    }
}
