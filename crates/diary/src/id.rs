//! Names of entries and plans: random UUIDs as 32 hexadecimal digits, so that diaries of two machines can be put together.

use serde::{Deserialize, Serialize};

/// Digits that are shown.
const SHORT: usize = 8;
/// Digits in all.
const WHOLE: usize = 32;
/// What a file should hold.
pub const EXPECTED: &str = "an id of 32 digits 0-9 and a-f";

/// A name of 32 hexadecimal digits; a new one is a random UUID (RFC 9562, version 4) without hyphens.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Id(String);

impl Id {
    /// A new one from random bytes.
    #[must_use]
    pub fn from_random(bytes: [u8; 16]) -> Self {
        let uuid = uuid::Builder::from_random_bytes(bytes).into_uuid();
        Self(uuid.simple().to_string())
    }

    /// All of it.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Its first digits, enough for a person.
    #[must_use]
    pub fn short(&self) -> &str {
        self.0.get(..SHORT).unwrap_or(&self.0)
    }
}

impl std::fmt::Display for Id {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl TryFrom<String> for Id {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        let digit = |b: u8| b.is_ascii_digit() || (b'a'..=b'f').contains(&b);
        if text.len() == WHOLE && text.bytes().all(digit) {
            return Ok(Self(text));
        }
        Err(format!("found `{text}`, expected {EXPECTED}"))
    }
}

impl From<Id> for String {
    fn from(id: Id) -> Self {
        id.0
    }
}
