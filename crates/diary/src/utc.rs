//! A moment in files: RFC 3339 in UTC.

use jiff::Timestamp;
use quantities::Moment;
use serde::de::Error as _;
use serde::{Deserialize as _, Deserializer, Serializer};

/// First and last moment that a diary takes: 1900 to 2200.
const FROM: i64 = -2_208_988_800;
const TO: i64 = 7_258_118_400;

/// What a file should hold.
pub const EXPECTED: &str = "a moment from 1900 to 2200 such as 2027-05-15T11:30:00Z";

/// Whether a diary takes the moment.
#[must_use]
pub fn in_range(at: Moment) -> bool {
    (FROM..=TO).contains(&at.0)
}

/// The moment of a text such as `2027-05-15T11:30:00Z`, or with another offset.
#[must_use]
pub fn parse(text: &str) -> Option<Moment> {
    let at = text.parse::<Timestamp>().ok()?;
    Some(Moment(at.as_second())).filter(|m| in_range(*m))
}

/// The text of a moment.
#[must_use]
pub fn format(at: Moment) -> String {
    Timestamp::from_second(at.0).unwrap_or_default().to_string()
}

/// Writes a moment into a file; with [`deserialize`] for `#[serde(with)]`.
///
/// # Errors
/// What the writer says.
pub fn serialize<S: Serializer>(at: &Moment, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(&format(*at))
}

/// Reads a moment from a file.
///
/// # Errors
/// It is no moment, or one that a diary does not take.
pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Moment, D::Error> {
    let text = String::deserialize(from)?;
    parse(&text).ok_or_else(|| D::Error::custom(format!("found `{text}`, expected {EXPECTED}")))
}
