//! Names of entries and plans: 128 random bits in hexadecimal, so that diaries of two machines can be put together.

use serde::{Deserialize, Serialize};

use crate::exit::Failure;
use crate::outside::random;

/// Digits that are shown.
const SHORT: usize = 8;
/// Digits in all.
const WHOLE: usize = 32;

/// A random name, 32 hexadecimal digits.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Id(String);

impl Id {
    /// A new one.
    ///
    /// # Errors
    /// The system gives no random bytes.
    pub fn random() -> Result<Self, Failure> {
        Ok(Self(format!("{:032x}", u128::from_be_bytes(random::sixteen_bytes()?))))
    }

    /// All of it.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Its first digits, enough for a person.
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
        Err(format!("found `{text}`, expected an id of 32 digits 0-9 and a-f"))
    }
}

impl From<Id> for String {
    fn from(id: Id) -> Self {
        id.0
    }
}
