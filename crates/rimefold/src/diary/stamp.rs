//! A moment in files: RFC 3339 in UTC.

use jiff::Timestamp;
use quantities::Moment;
use serde::{Deserialize, Serialize};

/// First and last moment that a diary takes: 1900 to 2200.
const FROM: i64 = -2_208_988_800;
const TO: i64 = 7_258_118_400;

/// A moment written as `2027-05-15T11:30:00Z`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Stamp(pub Moment);

/// Whether a diary takes the moment.
pub fn believable(at: Moment) -> bool {
    (FROM..=TO).contains(&at.0)
}

impl TryFrom<String> for Stamp {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        let read = text.parse::<Timestamp>().ok().map(|t| Moment(t.as_second()));
        read.filter(|m| believable(*m)).map(Self).ok_or_else(|| {
            format!(
                "found `{text}`, expected a moment from 1900 to 2200 such as 2027-05-15T11:30:00Z"
            )
        })
    }
}

impl From<Stamp> for String {
    fn from(stamp: Stamp) -> Self {
        Timestamp::from_second(stamp.0.0).unwrap_or_default().to_string()
    }
}
