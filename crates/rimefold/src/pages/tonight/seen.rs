//! What the diary says of the night that is shown: covered, opened, and what else was laid than planned.

use diary::entries::JudgedEntry;
use diary::state::{self, BedState, Openness};
use diary::{Id, night};
use evening::report::Report;
use quantities::Moment;

use crate::format::GardenFormat;

/// What has been ticked off.
pub struct Done {
    /// What was done, and when.
    pub words: String,
    /// The entry that says so.
    pub id: Id,
}

/// What the diary says of this night.
pub struct Seen<'a> {
    report: &'a Report,
    words: &'a GardenFormat,
    /// What lay on each bed in the night, or lies there now where the night is not over.
    night: Vec<BedState>,
    /// What lies on each bed now.
    now: Vec<BedState>,
}

impl<'a> Seen<'a> {
    pub fn new(
        report: &'a Report,
        words: &'a GardenFormat,
        entries: &[JudgedEntry],
        now: Moment,
    ) -> Self {
        let night = state::lying(entries, now.min(morning_of(report)));
        Self { report, words, night, now: state::lying(entries, now) }
    }

    /// Whether a bed has been covered this evening, and if so with what, where that is not what the plan says.
    pub fn covered(&self, bed: &str, planned: Option<&str>) -> Option<Done> {
        let from = night::afternoon_before(self.report.sun.dark);
        let in_time = self.night.iter().chain(&self.now);
        let mut covered = in_time.filter(|b| b.is_bed(bed) && b.is_covered_since(from, None));
        // What was opened in the morning lay there in the night.
        let Some(state) = covered.next() else { return self.opened(bed) };
        let other = state.newest_sheet().and_then(|s| s.sheet.as_deref());
        match other.filter(|_| planned.is_some() && !state.is_covered_since(from, planned)) {
            Some(other) => {
                Some(self.done(&format!("covered with “{other}”, not as planned"), state))
            }
            None => Some(self.done("covered", state)),
        }
    }

    /// Whether what lay on a bed was taken off this evening or in the night.
    pub fn taken_off(&self, bed: &str) -> Option<Done> {
        let from = night::afternoon_before(self.report.sun.dark);
        self.open_bed(bed, |since| since >= from)
    }

    pub fn opened(&self, bed: &str) -> Option<Done> {
        let from = morning_of(self.report);
        self.open_bed(bed, |since| since >= from)
    }

    /// What was done to a bed since a plan was made.
    pub fn changed_since(&self, bed: &str, made: Moment) -> Option<Done> {
        self.open_bed(bed, |since| since > made)
    }

    /// How far a bed has been opened, where that was done at a moment that counts.
    fn open_bed(&self, bed: &str, counts: impl Fn(Moment) -> bool) -> Option<Done> {
        let bed = self.now.iter().find(|b| b.is_bed(bed) && counts(b.since))?;
        let word = match bed.openness {
            Openness::Shut => return None,
            Openness::Off => "opened",
            Openness::HalfOff => "half open",
            Openness::EndsOpen => "ends open",
        };
        Some(self.done(word, bed))
    }

    fn done(&self, word: &str, bed: &BedState) -> Done {
        Done { words: format!("{word}, {}", self.words.time(bed.since)), id: bed.entry.clone() }
    }
}

/// From when on an opening is of the morning, not of the evening before.
fn morning_of(report: &Report) -> Moment {
    report.sun.sunrise.plus_seconds(-2 * 3600)
}
