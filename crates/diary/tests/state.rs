//! What lies on each bed, from notes made up so that the answer is plain.

use diary::entries::JudgedEntry;
use diary::entry::{Act, Cover, Entry, Placement, What};
use diary::state::{BedState, Openness, lying};
use diary::stays::{Stay, stays};
use quantities::Moment;

use crate::id;

/// Notes in the order written; one that does not stand is taken back.
#[derive(Default)]
struct Notes(Vec<JudgedEntry>);

impl Notes {
    fn what(mut self, at: i64, what: What) -> Self {
        let name = id(self.0.len() as u128 + 1);
        let entry = Entry::new(name, Moment(at), Moment(at), what);
        self.0.push(JudgedEntry { entry, stands: true });
        self
    }

    fn note(self, at: i64, act: Act, bed: &str, sheet: Option<&str>) -> Self {
        let cover = Cover::named(bed.into(), sheet.map(str::to_owned));
        self.what(at, What::Cover { act, cover })
    }

    fn undone(mut self) -> Self {
        self.0.last_mut().expect("a note").stands = false;
        self
    }

    fn at(&self, at: i64) -> Vec<BedState> {
        lying(&self.0, Moment(at))
    }
}

/// Beds with their sheets and how they are covered.
fn shown(beds: &[BedState]) -> Vec<(&str, Vec<&str>, Openness)> {
    beds.iter()
        .map(|b| {
            let sheets = b.sheets.iter().map(|s| s.sheet.as_deref().unwrap_or("?")).collect();
            (b.bed.as_str(), sheets, b.openness)
        })
        .collect()
}

#[test]
fn covered_vented_half_off_and_off_follow_each_other() {
    let notes = Notes::default()
        .note(10, Act::Covered, "kale", Some("light"))
        .note(20, Act::Vented, "kale", None)
        .note(30, Act::HalfOpen, "kale", None)
        .note(40, Act::Covered, "kale", None)
        .note(50, Act::Opened, "kale", None);
    assert!(notes.at(9).is_empty());
    let light = vec!["light"];
    for (at, sheets, openness, since) in [
        (10, light.clone(), Openness::Shut, 10),
        (20, light.clone(), Openness::EndsOpen, 20),
        (39, light.clone(), Openness::HalfOff, 30),
        (40, light, Openness::Shut, 40),
        (50, vec![], Openness::Off, 50),
    ] {
        let beds = notes.at(at);
        assert_eq!(shown(&beds), [("kale", sheets, openness)], "{at}");
        assert_eq!(beds[0].since, Moment(since), "{at}");
        assert_eq!(beds[0].entry, id(since as u128 / 10), "{at}");
    }
}

#[test]
fn a_task_done_and_a_bed_covered_say_the_same() {
    let cover = Cover {
        bed: "kale".into(),
        sheet: Some("heavy".into()),
        layers: Some(2),
        placement: Some(Placement::LowTunnel),
    };
    let done = What::Done { plan: id(9), task: 1, cover: Some(cover.clone()) };
    let noted = Notes::default().what(10, What::Cover { act: Act::Covered, cover });
    let done = Notes::default().what(10, done);
    assert_eq!(noted.at(10), done.at(10));
    let beds = done.at(10);
    let sheet = &beds[0].sheets[0];
    assert_eq!((sheet.layers, sheet.placement), (Some(2), Some(Placement::LowTunnel)));
    assert!(beds[0].is_covered_since(Moment(10), Some("Heavy")));
    assert!(!beds[0].is_covered_since(Moment(11), Some("heavy")));
    assert!(!beds[0].is_covered_since(Moment(10), Some("light")));
    // An old plan that does not say what the task laid tells nothing.
    let unknown = What::Done { plan: id(9), task: 1, cover: None };
    assert!(Notes::default().what(10, unknown).at(10).is_empty());
}

#[test]
fn what_is_taken_back_tells_nothing() {
    let notes = Notes::default()
        .note(10, Act::Covered, "kale", Some("light"))
        .note(20, Act::Opened, "kale", None)
        .undone();
    assert_eq!(shown(&notes.at(30)), [("kale", vec!["light"], Openness::Shut)]);
    let nothing = Notes::default().note(10, Act::Covered, "kale", None).undone();
    assert!(nothing.at(30).is_empty());
}

#[test]
fn a_sheet_that_moves_lies_on_the_other_bed_only() {
    let notes = Notes::default()
        .note(10, Act::Covered, "kale", Some("light"))
        .note(20, Act::Opened, "kale", Some("light"))
        .note(21, Act::Covered, "leeks", Some("light"));
    let expected = [("kale", vec![], Openness::Off), ("leeks", vec!["light"], Openness::Shut)];
    assert_eq!(shown(&notes.at(30)), expected);
}

/// Nobody noted the first bed as opened: one sheet on two beds comes out as noted, for the caller to tell.
#[test]
fn a_contradiction_comes_out_as_it_was_noted() {
    let notes = Notes::default().note(10, Act::Covered, "kale", Some("light")).note(
        20,
        Act::Covered,
        "leeks",
        Some("light"),
    );
    let expected =
        [("kale", vec!["light"], Openness::Shut), ("leeks", vec!["light"], Openness::Shut)];
    assert_eq!(shown(&notes.at(30)), expected);
}

#[test]
fn sheets_on_each_other_come_off_one_by_one() {
    let notes = Notes::default()
        .note(10, Act::Covered, "Kale", Some("light"))
        .note(20, Act::Covered, "kale", Some("heavy"))
        .note(25, Act::Covered, "kale", Some("LIGHT"))
        .note(30, Act::Opened, "kale", Some("heavy"))
        .note(40, Act::Opened, "kale", Some("a rug"));
    assert_eq!(shown(&notes.at(20)), [("kale", vec!["light", "heavy"], Openness::Shut)]);
    assert_eq!(notes.at(24)[0].newest_sheet().and_then(|s| s.sheet.as_deref()), Some("heavy"));
    assert_eq!(shown(&notes.at(25)), [("kale", vec!["LIGHT", "heavy"], Openness::Shut)]);
    assert_eq!(shown(&notes.at(30)), [("kale", vec!["LIGHT"], Openness::Shut)]);
    // Something else was taken off than was noted as put on: nothing lies there now.
    assert_eq!(shown(&notes.at(40)), [("kale", vec![], Openness::Off)]);
}

#[test]
fn a_cover_without_a_name_gets_the_name_that_comes_later() {
    let notes = Notes::default().note(10, Act::Vented, "kale", None).note(
        20,
        Act::HalfOpen,
        "kale",
        Some("light"),
    );
    assert_eq!(shown(&notes.at(10)), [("kale", vec!["?"], Openness::EndsOpen)]);
    let beds = notes.at(20);
    assert_eq!(shown(&beds), [("kale", vec!["light"], Openness::HalfOff)]);
    assert_eq!(beds[0].sheets[0].since, Moment(10), "it has lain there since it was first seen");
}

/// A note written the next day of the evening before comes before what was noted in between.
#[test]
fn what_happened_first_counts_first() {
    let notes = Notes::default().note(20, Act::Opened, "kale", None).note(
        10,
        Act::Covered,
        "kale",
        Some("light"),
    );
    assert_eq!(shown(&notes.at(15)), [("kale", vec!["light"], Openness::Shut)]);
    assert_eq!(shown(&notes.at(30)), [("kale", vec![], Openness::Off)]);
}

/// Each sheet from where it was put to where it was taken off: renewed, opened, named later, taken off under another name,
/// noted late, and still lying.
#[test]
fn stays_end_where_a_sheet_is_taken_off() {
    let notes = Notes::default()
        .note(10, Act::Covered, "kale", Some("light"))
        .note(12, Act::Covered, "Kale", Some("heavy"))
        .note(15, Act::Covered, "kale", Some("LIGHT"))
        .note(16, Act::HalfOpen, "kale", None)
        .note(20, Act::Opened, "kale", Some("light"))
        .note(25, Act::Opened, "kale", Some("a rug"))
        .note(30, Act::Covered, "leeks", None)
        .note(35, Act::Vented, "leeks", Some("net"))
        .note(28, Act::Opened, "leeks", None)
        .note(40, Act::Opened, "kale", None);
    let shown = |until: i64| -> Vec<(String, Option<String>, i64, Option<i64>)> {
        let of = |s: &Stay| (s.bed.clone(), s.sheet.clone(), s.from.0, s.to.map(|t| t.0));
        stays(&notes.0, Moment(until)).iter().map(of).collect()
    };
    let stay = |bed: &str, sheet: &str, from, to| {
        (bed.to_owned(), Some(sheet.to_owned()).filter(|s| !s.is_empty()), from, to)
    };
    let kale = [stay("kale", "LIGHT", 10, Some(20)), stay("Kale", "heavy", 12, Some(25))];
    let all = [kale[0].clone(), kale[1].clone(), stay("leeks", "net", 30, None)];
    assert_eq!(shown(50), all);
    assert_eq!(shown(32), [kale[0].clone(), kale[1].clone(), stay("leeks", "", 30, None)]);
    assert_eq!(shown(11), [stay("kale", "light", 10, None)]);
}
