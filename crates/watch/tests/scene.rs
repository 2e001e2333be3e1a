//! A garden, its evenings and what is known of them.

use diary::messages::{Delivery, Message, MessageKind};
use garden::watch::Watch;
use jiff::tz::TimeZone;
use quantities::{Moment, Place};
use watch::brief::{BedBrief, Brief};
use watch::calendar;
use watch::facts::Facts;
use watch::outbox::Recipient;
use watch::subject::Subject;
use watch::{Watcher, World};

pub const PLACE: Place = Place { latitude_deg: 43.6, longitude_deg: -90.9, elevation_m: 320.0 };

pub fn zone() -> TimeZone {
    calendar::zone("America/Chicago")
}

/// A local time of 2027.
pub fn at(words: &str) -> Moment {
    let local: jiff::civil::DateTime = format!("2027-{words}").parse().expect("a time");
    calendar::moment(local.date(), local.time(), &zone())
}

/// A bed: what lies on it at night, whether somebody must do that, the chance of harm left as it lies and as planned.
pub fn bed(name: &str, ends: &str, to_do: bool, left: f64, chance: f64) -> BedBrief {
    BedBrief { bed: name.into(), ends: ends.into(), to_do, left, chance, reaches: None }
}

/// The plan of the evening of 14 May with these beds.
pub fn plan(start_by: Option<&str>, beds: Vec<BedBrief>) -> Brief {
    Brief {
        night: "2027-05-14".parse().expect("a date"),
        sunset: at("05-14T20:24").0,
        dark: at("05-14T20:57").0,
        sunrise: at("05-15T05:38").0,
        start_by: start_by.map(|s| at(s).0),
        beds,
        opens: Vec::new(),
        threats: Vec::new(),
        air_from: at("05-14T20:00").0,
        air_p10_c: vec![0.0; 22],
    }
}

pub fn facts(now: &str, plan: Result<Brief, String>) -> Facts {
    Facts {
        now: at(now),
        place: PLACE,
        plan,
        air: None,
        shut: Vec::new(),
        noted: true,
        last_note: None,
        blind: Vec::new(),
        upkeep: Vec::new(),
    }
}

/// What carries messages in a test.
#[derive(Default)]
pub struct Hands {
    pub kept: Vec<Message>,
    pub sent: Vec<(String, String)>,
    pub deliveries: Vec<Delivery>,
    /// Whose messages are refused.
    pub refuses: Vec<&'static str>,
    pub disk_full: bool,
}

impl World for Hands {
    fn words(&self, subject: &Subject) -> String {
        format!("{:?}", subject.kind())
    }

    fn keep(&mut self, message: &Message) -> Result<(), String> {
        if self.disk_full {
            return Err("no room".into());
        }
        self.kept.push(message.clone());
        Ok(())
    }

    fn send(&mut self, recipient: &Recipient, message: &Message) -> Result<(), String> {
        if self.refuses.contains(&recipient.name.as_str()) {
            return Err("not now".into());
        }
        self.sent.push((recipient.name.clone(), message.id.to_string()));
        Ok(())
    }

    fn keep_delivery(&mut self, delivery: &Delivery) -> Result<(), String> {
        if self.disk_full {
            return Err("no room".into());
        }
        self.deliveries.push(delivery.clone());
        Ok(())
    }
}

pub fn ann() -> Recipient {
    Recipient { name: "Ann".into(), second: false }
}

/// A watcher that tells Ann, with what it told.
#[derive(Default)]
pub struct Scene {
    pub watcher: Watcher,
    pub hands: Hands,
    pub watch: Watch,
}

impl Scene {
    /// One step; the kinds of what was told in it.
    pub fn step(&mut self, facts: &Facts) -> Vec<MessageKind> {
        let before = self.watcher.ledger().told().len();
        let Self { watcher, hands, watch } = self;
        watcher.step(facts, watch, &[ann()], &zone(), hands);
        self.watcher.ledger().told().iter().skip(before).map(|t| t.message.kind).collect()
    }

    /// What the last message is about.
    pub fn last(&self) -> &Subject {
        &self.watcher.ledger().told().last().expect("something was told").subject
    }
}
