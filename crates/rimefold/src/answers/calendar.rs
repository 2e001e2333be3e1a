//! A calendar as text (RFC 5545), for any program that subscribes to one. No clock: the caller says when.

use icalendar::{Alarm, Calendar, Component as _, Event as Entry, EventLike as _, Property};
use jiff::civil::Date;
use jiff::{Timestamp, ToSpan as _};

/// When something is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum When {
    /// On whole days, the last included; a last before the first counts as the first.
    Days {
        /// The first.
        first: Date,
        /// The last.
        last: Date,
    },
    /// At a time of day.
    Time {
        /// From.
        from: Timestamp,
        /// To.
        to: Timestamp,
        /// Rings so many minutes before it, each once.
        rings_min: Vec<i64>,
    },
}

/// Something in a calendar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// Its lasting name in the world: the same event changed keeps it.
    pub uid: String,
    pub when: When,
    pub summary: String,
    /// More words; nothing is written where empty.
    pub description: String,
}

/// The calendar; `made_at` is written as the stamp of every event.
///
/// Checked by `ics::what_was_meant_is_read_back`.
pub fn calendar(name: &str, made_at: Timestamp, events: &[Event]) -> String {
    let mut calendar = Calendar::empty();
    for (key, value) in
        [("VERSION", "2.0"), ("PRODID", "-//Rimefold//EN"), ("CALSCALE", "GREGORIAN")]
    {
        calendar.append_property(Property::new(key, value));
    }
    calendar.append_property(Property::new("NAME", printable(name)));
    for event in events {
        calendar.push(entry(event, made_at));
    }
    calendar.to_string()
}

/// All-day: dates without a time, the end the day after the last (RFC 5545, 3.6.1); else times in UTC and alarms (3.6.6).
fn entry(event: &Event, made_at: Timestamp) -> Entry {
    let day = |name: &str, d: Date| {
        let mut property = Property::new(name, d.strftime("%Y%m%d").to_string());
        property.add_parameter("VALUE", "DATE");
        property
    };
    let utc = |t: Timestamp| t.strftime("%Y%m%dT%H%M%SZ").to_string();
    let mut entry = Entry::new();
    entry.uid(&event.uid).append_property(Property::new("DTSTAMP", utc(made_at)));
    match &event.when {
        When::Days { first, last } => {
            let after = (*last).max(*first).saturating_add(1.day());
            entry.append_property(day("DTSTART", *first)).append_property(day("DTEND", after));
        }
        When::Time { from, to, rings_min } => {
            // An end is later than its start (3.8.2.2).
            let after = (*to).max(*from + 1.minute());
            entry
                .append_property(Property::new("DTSTART", utc(*from)))
                .append_property(Property::new("DTEND", utc(after)));
            for minutes in rings_min {
                let before = -chrono::Duration::minutes(*minutes);
                let mut alarm = Alarm::display(&printable(&event.summary), before);
                // Else the library asks the clock and draws chance.
                alarm
                    .uid(&format!("{minutes}-{}", event.uid))
                    .append_property(Property::new("DTSTAMP", utc(made_at)));
                entry.alarm(alarm);
            }
        }
    }
    entry.add_property("TRANSP", "TRANSPARENT").summary(&printable(&event.summary));
    if !event.description.is_empty() {
        entry.description(&printable(&event.description));
    }
    entry.done()
}

/// Text without control characters other than the line break and the tab.
fn printable(text: &str) -> String {
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    text.chars().filter(|c| !c.is_control() || matches!(c, '\n' | '\t')).collect()
}
