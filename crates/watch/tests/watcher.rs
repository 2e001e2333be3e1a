//! The whole of it over a real diary: what dies at any point goes on where it was.

use diary::Diary;
use diary::messages::{Delivery, Message, MessageKind, Messages};
use watch::outbox::Recipient;
use watch::subject::Subject;
use watch::{Watcher, World};

use crate::scene::{Scene, ann, at, bed, facts, plan, zone};

/// A world that dies at the n-th thing it is asked to do, before or after doing it.
struct Mortal<'a> {
    diary: &'a mut Diary,
    sent: &'a mut Vec<String>,
    left: i64,
    after: bool,
}

impl Mortal<'_> {
    /// Does a thing unless dead; whether it was done and lived through.
    fn act<T>(&mut self, job: impl FnOnce(&mut Self) -> T) -> Option<T> {
        self.left -= 1;
        match self.left {
            0 if self.after => {
                job(self);
                None
            }
            n if n <= 0 => None,
            _ => Some(job(self)),
        }
    }
}

impl World for Mortal<'_> {
    fn words(&self, _: &Subject) -> String {
        "words".into()
    }

    fn keep(&mut self, message: &Message) -> Result<(), String> {
        let kept = self.act(|w| w.diary.keep_message(message).map(drop));
        kept.map_or(Ok(()), |k| k.map_err(|e| e.to_string()))
    }

    fn send(&mut self, _: &Recipient, message: &Message) -> Result<(), String> {
        // The dead send nothing; what they believe is lost with them.
        self.act(|w| w.sent.push(message.id.to_string()));
        Ok(())
    }

    fn keep_delivery(&mut self, delivery: &Delivery) -> Result<(), String> {
        let kept = self.act(|w| w.diary.keep_delivery(delivery));
        kept.map_or(Ok(()), |k| k.map_err(|e| e.to_string()))
    }
}

/// Two messages, each kept, sent and noted as sent: six things to die at, before or after.
#[test]
fn death_at_any_point_loses_no_message_and_doubles_none_in_the_diary() {
    let cold = || Ok(plan(Some("05-14T18:30"), vec![bed("salads", "heavy", true, 0.6, 0.02)]));
    let more = || {
        let beds =
            vec![bed("salads", "heavy", true, 0.6, 0.02), bed("peas", "light", true, 0.5, 0.0)];
        Ok(plan(Some("05-14T18:30"), beds))
    };
    let looks = [("05-14T15:00", cold()), ("05-14T16:00", more()), ("05-14T16:10", more())];
    let mut deaths = 0;
    for dies_at in 1..=7 {
        for after in [false, true] {
            let folder = tempfile::tempdir().expect("a folder");
            let mut diary = Diary::open(&folder.path().join("diary.sqlite")).expect("a diary");
            let mut sent = Vec::new();
            let mut left = dies_at;
            let mut watcher = Watcher::new(Messages::default());
            for (now, plan) in &looks {
                loop {
                    let mut world = Mortal { diary: &mut diary, sent: &mut sent, left, after };
                    watcher.step(
                        &facts(now, plan.clone()),
                        &Default::default(),
                        &[ann()],
                        &zone(),
                        &mut world,
                    );
                    left = world.left;
                    if left > 0 {
                        break;
                    }
                    // Dead: started again from the diary, and never dies again.
                    (deaths, left) = (deaths + 1, i64::MAX);
                    let kept = diary.messages_since(at("05-10T00:00")).expect("read");
                    watcher = Watcher::new(kept);
                }
            }
            let kept = diary.messages_since(at("05-10T00:00")).expect("read");
            let kinds: Vec<MessageKind> = kept.messages.iter().map(|m| m.kind).collect();
            let label = format!("dies at {dies_at}, after: {after}");
            assert_eq!(kinds, [MessageKind::Evening, MessageKind::Change], "{label}");
            let taken = |m: &Message| kept.deliveries.iter().filter(|d| d.message == m.id).count();
            assert!(kept.messages.iter().all(|m| taken(m) == 1), "{label}");
            // Sent once; twice only where it died between the sending and the note of it, under the same name.
            let names: std::collections::BTreeSet<&String> = sent.iter().collect();
            assert_eq!(names.len(), 2, "{label}");
            let between = matches!((dies_at, after), (2 | 5, true) | (3 | 6, false));
            assert_eq!(sent.len(), if between { 3 } else { 2 }, "{label}");
        }
    }
    assert_eq!(deaths, 12, "six things, before and after; the seventh never comes");
}

#[test]
fn a_full_disk_keeps_nobody_from_being_told_and_is_told_itself() {
    let mut scene = Scene::default();
    scene.hands.disk_full = true;
    let quiet = || Ok(plan(None, vec![bed("salads", "", false, 0.0, 0.0)]));
    assert_eq!(scene.step(&facts("05-14T15:00", quiet())), [MessageKind::Evening]);
    assert_eq!(scene.hands.sent.len(), 1);
    assert_eq!(scene.step(&facts("05-14T15:01", quiet())), []);
    assert_eq!(scene.step(&facts("05-14T15:16", quiet())), [MessageKind::Blind]);
    assert_eq!(scene.hands.sent.len(), 2);
    // There is room again, which the next message that is kept tells.
    scene.hands.disk_full = false;
    assert!(scene.hands.kept.is_empty());
}

#[test]
fn one_whom_no_message_reaches_is_told_of_to_the_others() {
    let two = [ann(), Recipient { name: "Ben".into(), second: false }];
    let mut scene = Scene::default();
    scene.hands.refuses = vec!["Ben"];
    let quiet = || Ok(plan(None, vec![bed("salads", "", false, 0.0, 0.0)]));
    let mut kinds = Vec::new();
    for minute in 0..50 {
        let facts = facts(&format!("05-14T15:{minute:02}"), quiet());
        let Scene { watcher, hands, watch } = &mut scene;
        watcher.step(&facts, watch, &two, &zone(), hands);
    }
    kinds.extend(scene.hands.kept.iter().map(|m| m.kind));
    assert_eq!(kinds, [MessageKind::Evening, MessageKind::Blind]);
    assert!(scene.hands.sent.iter().all(|(name, _)| name == "Ann"));
    assert_eq!(scene.hands.sent.len(), 2);
}
