//! Decides, keeps, sends: one step at a time.

use diary::Id;
use diary::digest;
use diary::keyword::Keyword as _;
use diary::messages::{Delivery, Message, Messages};
use garden::watch::Watch;
use jiff::tz::TimeZone;
use quantities::Moment;

use crate::calendar::Evening;
use crate::decide::{self, Due, Steady};
use crate::facts::{Blind, Facts, Sense};
use crate::ledger::{Ledger, REACH_S};
use crate::outbox::{self, Recipient};
use crate::subject::Subject;

/// Somebody whom no message has reached for so long is told of to the others, s.
const REFUSED_S: i64 = 900;

/// What a watcher needs of the world outside.
pub trait World {
    /// The lines of a message.
    fn words(&self, subject: &Subject) -> String;

    /// Keeps a message in the diary.
    ///
    /// # Errors
    /// It could not be kept, and why.
    fn keep(&mut self, message: &Message) -> Result<(), String>;

    /// Hands a message over.
    ///
    /// # Errors
    /// It was not taken, and why.
    fn send(&mut self, recipient: &Recipient, message: &Message) -> Result<(), String>;

    /// Keeps a try to hand one over.
    ///
    /// # Errors
    /// It could not be kept, and why.
    fn keep_delivery(&mut self, delivery: &Delivery) -> Result<(), String>;
}

/// What was told, and since when things have been as they are.
#[derive(Clone, Debug, Default)]
pub struct Watcher {
    ledger: Ledger,
    steady: Steady,
    /// The evening of the last step.
    evening: Option<Evening>,
    /// Why the diary could not be written, and since when, where the last try failed.
    disk: Option<(Moment, String)>,
}

impl Watcher {
    /// Goes on from what the diary has of the last days.
    #[must_use]
    pub fn new(kept: Messages) -> Self {
        Self { ledger: kept.into(), ..Self::default() }
    }

    /// What was told lately.
    #[must_use]
    pub fn ledger(&self) -> &Ledger {
        &self.ledger
    }

    /// Somebody has seen a message.
    pub fn see(&mut self, message: &Id, at: Moment) {
        self.ledger.see(message, at);
    }

    /// What this watcher itself cannot do: keep, or reach somebody.
    #[must_use]
    pub fn blind(&self, recipients: &[Recipient], now: Moment) -> Vec<Blind> {
        let disk = self.disk.iter().map(|(_, why)| Blind { sense: Sense::Disk, why: why.clone() });
        let refusing = recipients.iter().filter_map(|r| {
            let (since, why) = self.ledger.refusing(&r.name)?;
            let long = now.0 - since.0 >= REFUSED_S;
            long.then(|| Blind { sense: Sense::Recipient(r.name.clone()), why: why.to_owned() })
        });
        disk.chain(refusing).collect()
    }

    /// Decides what is to be told, keeps it, hands over what is due. A message is kept before it is sent, so that one who dies
    /// in between sends it after the restart; its name tells a receiver that got it twice.
    ///
    /// Checked by `watcher::*`, and lived through by `nights`.
    pub fn step(
        &mut self,
        facts: &Facts,
        watch: &Watch,
        recipients: &[Recipient],
        zone: &TimeZone,
        world: &mut impl World,
    ) {
        self.ledger.forget_before(facts.now.plus_seconds(-REACH_S));
        let mut facts = facts.clone();
        facts.blind.extend(self.blind(recipients, facts.now));
        let evening = self.evening.filter(|e| e.holds(facts.now));
        let evening = evening.unwrap_or_else(|| Evening::at(facts.now, &facts.place, zone));
        self.evening = Some(evening);
        for due in decide::decide(&facts, watch, &self.ledger, &mut self.steady, evening, zone) {
            let message = self.written(due, evening.night, facts.now, world);
            self.remember_disk(world.keep(&message), facts.now);
            self.ledger.add(message);
        }
        let due = outbox::due(&self.ledger, recipients, watch, zone, facts.now, facts.last_note);
        let due: Vec<(Message, Recipient)> =
            due.into_iter().map(|(m, r)| (m.clone(), r.clone())).collect();
        for (message, recipient) in due {
            let refused = world.send(&recipient, &message).err().map(|e| short(&e));
            let delivery =
                Delivery { message: message.id, recipient: recipient.name, at: facts.now, refused };
            self.remember_disk(world.keep_delivery(&delivery), facts.now);
            self.ledger.add_delivery(delivery);
        }
    }

    /// The message of something to be told. Its name follows from its evening, its kind and how many there were before: the
    /// same message written again after a restart is the same.
    fn written(
        &self,
        due: Due,
        night: jiff::civil::Date,
        now: Moment,
        world: &impl World,
    ) -> Message {
        let kind = due.subject.kind();
        let before = self.ledger.of(night, kind).count();
        let name = format!("{night} {} {before}", kind.keyword());
        let digits: String = digest::sha256(name.as_bytes()).chars().take(32).collect();
        Message {
            // A digest is hexadecimal digits; were it not, the night's number would name it.
            id: Id::try_from(digits).unwrap_or_else(|_| Id::from_random([0; 16])),
            kind,
            night,
            urgent: due.urgent,
            at: now,
            until: due.until,
            about: serde_json::to_string(&due.subject).unwrap_or_default(),
            text: world.words(&due.subject),
        }
    }

    fn remember_disk(&mut self, kept: Result<(), String>, now: Moment) {
        self.disk = kept.err().map(|why| (self.disk.as_ref().map_or(now, |d| d.0), why));
    }
}

/// A reason, short enough for the diary.
fn short(why: &str) -> String {
    let line: String = why.split_whitespace().collect::<Vec<_>>().join(" ");
    let line: String = line.chars().take(300).collect();
    if line.is_empty() { "refused".to_owned() } else { line }
}
