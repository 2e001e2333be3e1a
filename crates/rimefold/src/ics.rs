//! A calendar of all-day events as text (RFC 5545), for any program that subscribes to one.
//!
//! Lines end in CRLF and are folded at 75 octets, never inside a character (3.1); text is escaped (3.3.11); an
//! all-day event carries dates without a time, its end the day after its last (3.6.1). No clock: the caller says when.

use std::fmt::Write as _;

use jiff::civil::Date;
use jiff::{Timestamp, ToSpan as _};

/// Most octets of a line, its CRLF not counted (RFC 5545, 3.1).
const LINE_OCTETS: usize = 75;

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
/// Checked by `ics::another_reader_reads_what_was_meant`.
pub fn calendar(name: &str, made_at: Timestamp, events: &[Event]) -> String {
    let mut out = String::new();
    let stamp = made_at.strftime("%Y%m%dT%H%M%SZ").to_string();
    line(&mut out, "BEGIN:VCALENDAR");
    line(&mut out, "VERSION:2.0");
    line(&mut out, "PRODID:-//Rimefold//EN");
    line(&mut out, "CALSCALE:GREGORIAN");
    line(&mut out, &format!("NAME:{}", escaped(name)));
    for event in events {
        let day = |d: Date| d.strftime("%Y%m%d").to_string();
        let after = event.last_day.max(event.first_day).saturating_add(1.day());
        line(&mut out, "BEGIN:VEVENT");
        line(&mut out, &format!("UID:{}", escaped(&event.uid)));
        line(&mut out, &format!("DTSTAMP:{stamp}"));
        line(&mut out, &format!("DTSTART;VALUE=DATE:{}", day(event.first_day)));
        line(&mut out, &format!("DTEND;VALUE=DATE:{}", day(after)));
        line(&mut out, &format!("SUMMARY:{}", escaped(&event.summary)));
        if !event.description.is_empty() {
            line(&mut out, &format!("DESCRIPTION:{}", escaped(&event.description)));
        }
        line(&mut out, "TRANSP:TRANSPARENT");
        line(&mut out, "END:VEVENT");
    }
    line(&mut out, "END:VCALENDAR");
    out
}

/// Text with backslash, semicolon, comma and line break escaped; other control characters go.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.replace("\r\n", "\n").chars() {
        match c {
            '\\' | ';' | ',' => {
                out.push('\\');
                out.push(c);
            }
            '\n' | '\r' => out.push_str("\\n"),
            '\t' => out.push(c),
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
    out
}

/// One content line, folded.
fn line(out: &mut String, content: &str) {
    let mut octets = 0;
    for c in content.chars() {
        if octets + c.len_utf8() > LINE_OCTETS {
            let _ = write!(out, "\r\n ");
            octets = 1;
        }
        out.push(c);
        octets += c.len_utf8();
    }
    out.push_str("\r\n");
}
