//! What was told lately, whom it reached, who has seen it: a picture of the diary's tables, which goes on by itself where the
//! disk is full.

use diary::Id;
use diary::messages::{Delivery, Message, MessageKind, Messages};
use jiff::civil::Date;
use quantities::Moment;

use crate::brief::Brief;
use crate::subject::Subject;

/// Messages older than this decide nothing any more, s.
pub const REACH_S: i64 = 4 * 86_400;

/// A message with what it is about.
#[derive(Clone, Debug)]
pub struct Told {
    /// As it was written.
    pub message: Message,
    /// What it is about.
    pub subject: Subject,
}

/// What was told lately.
#[derive(Clone, Debug, Default)]
pub struct Ledger {
    told: Vec<Told>,
    deliveries: Vec<Delivery>,
    seen: Vec<(Id, Moment)>,
}

impl From<Messages> for Ledger {
    /// What cannot be understood, of a later program perhaps, counts as told to nobody.
    fn from(kept: Messages) -> Self {
        let mut ledger = Self { told: Vec::new(), deliveries: kept.deliveries, seen: kept.seen };
        kept.messages.into_iter().for_each(|m| ledger.add(m));
        ledger
    }
}

impl Ledger {
    /// Adds a message.
    pub fn add(&mut self, message: Message) {
        if let Ok(subject) = serde_json::from_str(&message.about) {
            self.told.push(Told { message, subject });
        }
    }

    /// Adds a try to hand one over.
    pub fn add_delivery(&mut self, delivery: Delivery) {
        self.deliveries.push(delivery);
    }

    /// Somebody has seen one.
    pub fn see(&mut self, message: &Id, at: Moment) {
        if !self.seen.iter().any(|(id, _)| id == message) {
            self.seen.push((message.clone(), at));
        }
    }

    /// Forgets what decides nothing any more.
    pub fn forget_before(&mut self, moment: Moment) {
        self.told.retain(|t| t.message.at >= moment);
        let told = &self.told;
        let known = |id: &Id| told.iter().any(|t| t.message.id == *id);
        self.deliveries.retain(|d| known(&d.message));
        self.seen.retain(|(id, _)| known(id));
    }

    /// Every message, in the order written.
    #[must_use]
    pub fn told(&self) -> &[Told] {
        &self.told
    }

    /// The messages of a kind that belong to an evening, in the order written.
    pub fn of(&self, night: Date, kind: MessageKind) -> impl DoubleEndedIterator<Item = &Told> {
        self.told.iter().filter(move |t| t.message.night == night && t.message.kind == kind)
    }

    /// The plan told last for an evening.
    #[must_use]
    pub fn plan_told(&self, night: Date) -> Option<&Brief> {
        let own = self.told.iter().rev().filter(|t| t.message.night == night);
        own.filter_map(|t| t.subject.plan()).next()
    }

    /// Whether somebody was handed a message.
    #[must_use]
    pub fn reached(&self, message: &Id, recipient: &str) -> bool {
        self.tries(message, recipient).any(|d| d.refused.is_none())
    }

    /// The tries to hand a message to somebody.
    pub fn tries<'a>(
        &'a self,
        message: &'a Id,
        recipient: &'a str,
    ) -> impl DoubleEndedIterator<Item = &'a Delivery> {
        self.deliveries.iter().filter(move |d| d.message == *message && d.recipient == recipient)
    }

    /// When the tries to reach somebody began to fail, where the last one did, and why it did.
    #[must_use]
    pub fn refusing(&self, recipient: &str) -> Option<(Moment, &str)> {
        let own = self.deliveries.iter().rev().filter(|d| d.recipient == recipient);
        let failed: Vec<&Delivery> = own.take_while(|d| d.refused.is_some()).collect();
        Some((failed.last()?.at, failed.first()?.refused.as_deref()?))
    }

    /// Whether somebody has seen a message, or wrote into the diary after it.
    #[must_use]
    pub fn seen(&self, message: &Message, last_note: Option<Moment>) -> bool {
        self.seen.iter().any(|(id, _)| *id == message.id)
            || last_note.is_some_and(|n| n > message.at)
    }
}
