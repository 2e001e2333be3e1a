//! Moments and intervals in universal time; local time belongs to the program.

use crate::constants::{SECONDS_PER_DAY, UNIX_EPOCH_JULIAN_DATE};

/// Seconds in one hour.
pub const SECONDS_PER_HOUR: i64 = 3_600;

/// An instant, in whole seconds since 1970-01-01T00:00:00Z (UTC, no leap seconds).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment(pub i64);

impl Moment {
    /// The moment `seconds` later (earlier when negative).
    #[must_use]
    pub fn plus_seconds(self, seconds: i64) -> Self {
        Self(self.0.saturating_add(seconds))
    }

    /// Hours from `earlier` to this moment; negative when this one comes first.
    #[must_use]
    pub fn hours_since(self, earlier: Self) -> f64 {
        (self.0 - earlier.0) as f64 / SECONDS_PER_HOUR as f64
    }

    /// The last full UTC hour at or before this moment.
    #[must_use]
    pub fn floor_hour(self) -> Self {
        Self(self.0.div_euclid(SECONDS_PER_HOUR) * SECONDS_PER_HOUR)
    }

    /// The Julian date (days since noon, 1 January 4713 BC) of this moment.
    ///
    /// The Unix epoch is Julian date 2 440 587.5.
    #[must_use]
    pub fn julian_date(self) -> f64 {
        UNIX_EPOCH_JULIAN_DATE + self.0 as f64 / SECONDS_PER_DAY
    }
}

/// A stretch of time `[start, end)`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Interval {
    /// First moment inside.
    pub start: Moment,
    /// First moment after.
    pub end: Moment,
}

impl Interval {
    /// The hour that begins at `start`.
    #[must_use]
    pub fn hour_from(start: Moment) -> Self {
        Self { start, end: start.plus_seconds(SECONDS_PER_HOUR) }
    }

    /// Whether `moment` lies in `[start, end)`.
    #[must_use]
    pub fn contains(&self, moment: Moment) -> bool {
        self.start <= moment && moment < self.end
    }

    /// Length in seconds.
    #[must_use]
    pub fn seconds(&self) -> i64 {
        self.end.0 - self.start.0
    }

    /// The moment halfway.
    #[must_use]
    pub fn middle(&self) -> Moment {
        Moment(self.start.0 + self.seconds() / 2)
    }
}
