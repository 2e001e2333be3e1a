//! Who is handed what, when.

use diary::Id;
use diary::messages::{Delivery, Message, MessageKind};
use garden::watch::Watch;
use jiff::civil::time;
use quantities::Moment;
use watch::ledger::Ledger;
use watch::outbox::{Recipient, due};
use watch::subject::Subject;

use crate::scene::{at, zone};

fn message(n: u8, urgent: bool, written: Moment) -> Message {
    let subject = Subject::NoPlan { why: "a test".into() };
    Message {
        id: Id::try_from(format!("{n:032x}")).expect("an id"),
        kind: if urgent { MessageKind::Night } else { MessageKind::Blind },
        night: "2027-05-14".parse().expect("a date"),
        urgent,
        at: written,
        until: written.plus_seconds(6 * 3600),
        about: serde_json::to_string(&subject).expect("JSON"),
        text: "a test".into(),
    }
}

fn both() -> [Recipient; 2] {
    let of = |name: &str, second| Recipient { name: name.into(), second };
    [of("Ann", false), of("Ben", true)]
}

/// Names of those who are handed something `after_s` later.
fn names(ledger: &Ledger, watch: &Watch, from: Moment, after_s: i64) -> Vec<String> {
    let both = both();
    let due = due(ledger, &both, watch, &zone(), from.plus_seconds(after_s), None);
    due.into_iter().map(|(_, r)| r.name.clone()).collect()
}

fn tried(ledger: &mut Ledger, of: &Message, name: &str, at: Moment, refused: bool) {
    ledger.add_delivery(Delivery {
        message: of.id.clone(),
        recipient: name.into(),
        at,
        refused: refused.then(|| "busy".into()),
    });
}

#[test]
fn a_refused_message_is_tried_again_ever_more_slowly_until_it_is_of_no_use() {
    let (from, watch) = (at("05-14T12:00"), Watch::default());
    let mut ledger = Ledger::default();
    let m = message(1, false, from);
    ledger.add(m.clone());
    let mut tries = Vec::new();
    for s in 0..7 * 3600 {
        if names(&ledger, &watch, from, s) == ["Ann"] {
            tries.push(s);
            tried(&mut ledger, &m, "Ann", from.plus_seconds(s), true);
        }
    }
    assert_eq!(tries[..7], [0, 30, 90, 210, 450, 930, 1830]);
    assert!(tries.windows(2).all(|w| w[1] - w[0] <= 900), "{tries:?}");
    assert!(tries.last().is_some_and(|t| (5 * 3600..6 * 3600).contains(t)), "{tries:?}");
    // Taken once, it is not handed over again.
    let mut ledger = Ledger::default();
    ledger.add(m.clone());
    tried(&mut ledger, &m, "Ann", from, false);
    assert!((0..3600).all(|s| names(&ledger, &watch, from, s).is_empty()));
}

#[test]
fn a_second_person_is_told_what_cannot_wait_where_nobody_answers() {
    let (from, watch) = (at("05-14T22:00"), Watch::default());
    let m = message(1, true, from);
    let told = |ledger: &mut Ledger| ledger.add(m.clone());
    // Reached but unanswered: after a quarter of an hour.
    let mut ledger = Ledger::default();
    told(&mut ledger);
    tried(&mut ledger, &m, "Ann", from, false);
    assert!(names(&ledger, &watch, from, 899).is_empty());
    assert_eq!(names(&ledger, &watch, from, 900), ["Ben"]);
    // Answered: never.
    ledger.see(&m.id, from.plus_seconds(600));
    assert!(names(&ledger, &watch, from, 3600).is_empty());
    // Reached nobody: after five minutes.
    let mut ledger = Ledger::default();
    told(&mut ledger);
    tried(&mut ledger, &m, "Ann", from.plus_seconds(290), true);
    assert!(names(&ledger, &watch, from, 299).is_empty());
    assert_eq!(names(&ledger, &watch, from, 300), ["Ben"]);
    // What can wait never goes to a second person.
    let mut ledger = Ledger::default();
    let calm = message(2, false, from);
    ledger.add(calm.clone());
    tried(&mut ledger, &calm, "Ann", from, false);
    assert!(names(&ledger, &watch, from, 3600).is_empty());
}

#[test]
fn what_can_wait_waits_for_the_end_of_the_quiet_hours() {
    let quiet = Some((time(21, 30, 0, 0), time(6, 0, 0, 0)));
    let from = at("05-15T01:00");
    let rows =
        [(false, false, false), (false, true, false), (true, false, false), (true, true, true)];
    for (urgent, wake, now) in rows {
        let watch = Watch { quiet, wake, ..Watch::default() };
        let mut ledger = Ledger::default();
        ledger.add(message(1, urgent, from));
        assert_eq!(!names(&ledger, &watch, from, 0).is_empty(), now, "{urgent} {wake}");
        assert!(!names(&ledger, &watch, from, 5 * 3600).is_empty(), "{urgent} {wake}");
    }
}

#[test]
fn a_plan_that_another_has_followed_is_not_sent_any_more() {
    let quiet = Some((time(21, 30, 0, 0), time(6, 0, 0, 0)));
    let watch = Watch { quiet, ..Watch::default() };
    let from = at("05-15T01:00");
    let mut ledger = Ledger::default();
    for n in 1..=3 {
        let plan = crate::scene::plan(None, Vec::new());
        let about = serde_json::to_string(&Subject::Change { plan, what: Vec::new() });
        let kind = MessageKind::Change;
        let about = about.expect("JSON");
        ledger.add(Message { kind, about, ..message(n, false, from.plus_seconds(i64::from(n))) });
    }
    let both = both();
    let due = due(&ledger, &both, &watch, &zone(), at("05-15T06:30"), None);
    let ids: Vec<&str> = due.iter().map(|(m, _)| m.id.as_str()).collect();
    assert_eq!(ids, [format!("{:032x}", 3)]);
}

#[test]
fn a_clock_that_was_set_back_holds_nothing_up() {
    let (from, watch) = (at("05-14T12:00"), Watch::default());
    let mut ledger = Ledger::default();
    let m = message(1, false, from);
    ledger.add(m.clone());
    tried(&mut ledger, &m, "Ann", from.plus_seconds(3 * 3600), true);
    assert_eq!(names(&ledger, &watch, from, 60), ["Ann"]);
}
