//! A calendar of all-day events as text (RFC 5545), for any program that subscribes to one. No clock: the caller says when.

use icalendar::{Calendar, Component as _, Event as Entry, Property};
use jiff::civil::Date;
use jiff::{Timestamp, ToSpan as _};

/// Something on one or more whole days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// Its lasting name in the world: the same event changed keeps it.
    pub uid: String,
    pub first_day: Date,
    /// The last day, itself included; one before the first counts as the first.
    pub last_day: Date,
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

/// All-day: dates without a time, the end the day after the last (RFC 5545, 3.6.1).
fn entry(event: &Event, made_at: Timestamp) -> Entry {
    let day = |name: &str, d: Date| {
        let mut property = Property::new(name, d.strftime("%Y%m%d").to_string());
        property.add_parameter("VALUE", "DATE");
        property
    };
    let after = event.last_day.max(event.first_day).saturating_add(1.day());
    let mut entry = Entry::new();
    entry
        .uid(&event.uid)
        .append_property(Property::new("DTSTAMP", made_at.strftime("%Y%m%dT%H%M%SZ").to_string()))
        .append_property(day("DTSTART", event.first_day))
        .append_property(day("DTEND", after))
        .add_property("TRANSP", "TRANSPARENT")
        .summary(&printable(&event.summary));
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
