//! What time the pages take it to be.

use quantities::Moment;

use crate::outside;

/// The time of day, or, for the demonstration, one moved so that it begins at a moment of its own.
#[derive(Clone, Copy, Debug)]
pub struct Clock {
    ahead_s: i64,
}

impl Clock {
    /// The time as it is.
    pub fn real() -> Self {
        Self { ahead_s: 0 }
    }

    /// A time that is `at` now and runs on from there.
    pub fn from(at: Moment) -> Self {
        Self { ahead_s: at.0 - outside::clock::now().0 }
    }

    /// Now.
    pub fn now(self) -> Moment {
        outside::clock::now().plus_seconds(self.ahead_s)
    }
}
