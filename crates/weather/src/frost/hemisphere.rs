//! Which half of the year is cold, and on which day the cold season begins.

use jiff::civil::{Date, date};

/// Which half of the year is cold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hemisphere {
    /// The cold season begins on 1 August.
    North,
    /// The cold season begins on 1 February.
    South,
}

impl Hemisphere {
    /// By latitude; the equator counts as north.
    #[must_use]
    pub fn from_latitude(latitude_deg: f64) -> Self {
        if latitude_deg < 0.0 { Self::South } else { Self::North }
    }

    pub(super) fn start(self, year: i16) -> Date {
        date(year, if self == Self::North { 8 } else { 2 }, 1)
    }

    /// Day of the year (365-day calendar) on which the season begins.
    pub(super) fn start_day(self) -> u16 {
        if self == Self::North { 213 } else { 32 }
    }

    /// Places (from 0) of 29 February in a season of 366 days.
    pub(super) fn leap_place(self) -> usize {
        if self == Self::North { 212 } else { 28 }
    }
}
