//! A moment in files: RFC 3339 in UTC.

use jiff::Timestamp;
use quantities::Moment;

/// First and last moment that a diary takes: 1900 to 2200.
const FROM: i64 = -2_208_988_800;
const TO: i64 = 7_258_118_400;

/// What a file should hold.
pub const EXPECTED: &str = "a moment from 1900 to 2200 such as 2027-05-15T11:30:00Z";

/// Whether a diary takes the moment.
pub fn believable(at: Moment) -> bool {
    (FROM..=TO).contains(&at.0)
}

/// The moment of a text such as `2027-05-15T11:30:00Z`, or with another offset.
pub fn read(text: &str) -> Option<Moment> {
    let at = text.parse::<Timestamp>().ok()?;
    Some(Moment(at.as_second())).filter(|m| believable(*m))
}

/// The text of a moment.
pub fn write(at: Moment) -> String {
    Timestamp::from_second(at.0).unwrap_or_default().to_string()
}
