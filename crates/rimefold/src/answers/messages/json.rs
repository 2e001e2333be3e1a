//! A message, for programs.

use diary::keyword::Keyword as _;
use diary::messages::Message;
use diary::utc;
use garden::Garden;
use serde::Serialize;

use crate::exit::Failure;

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

/// What is posted to an address of the web.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Posted<'a> {
    /// Version of the layout.
    layout: u32,
    /// Its lasting name: the same message sent twice has the same.
    id: &'a str,
    /// What the grower calls the garden.
    garden: &'a str,
    /// `evening`, `change`, `all clear`, `night`, `morning`, `no plan`, `blind`, `sees again` or `upkeep`.
    kind: &'static str,
    /// Local date of the evening it belongs to.
    night: String,
    /// Whether plants are in danger.
    urgent: bool,
    /// When it was written, UTC.
    at: String,
    /// Of no use after this, UTC.
    until: String,
    /// What to do first, where to look last.
    lines: Vec<&'a str>,
}

/// The message as it is posted.
///
/// # Errors
/// None but a fault of ours.
pub fn posted(message: &Message, garden: &Garden) -> Result<String, Failure> {
    let posted = Posted {
        layout: LAYOUT,
        id: message.id.as_str(),
        garden: &garden.name,
        kind: message.kind.keyword(),
        night: message.night.to_string(),
        urgent: message.urgent,
        at: utc::format(message.at),
        until: utc::format(message.until),
        lines: message.text.lines().collect(),
    };
    serde_json::to_string(&posted).map_err(Failure::bug)
}

/// What a phone shows.
#[derive(Serialize)]
struct Shown<'a> {
    id: &'a str,
    title: String,
    body: String,
    urgent: bool,
}

/// A message for a phone: at most so long that it fits the 4096 bytes that every push service takes (RFC 8030, 7.2).
///
/// # Errors
/// None but a fault of ours.
pub fn for_a_phone(message: &Message) -> Result<String, Failure> {
    /// Most characters of the first line and below it; one takes four bytes at most, six where it must be escaped.
    const TITLE: usize = 120;
    const BODY: usize = 500;
    let mut lines = message.text.lines();
    let title = lines.next().unwrap_or_default().chars().take(TITLE).collect();
    let body = lines.collect::<Vec<_>>().join("\n").chars().take(BODY).collect();
    let shown = Shown { id: message.id.as_str(), title, body, urgent: message.urgent };
    serde_json::to_string(&shown).map_err(Failure::bug)
}
