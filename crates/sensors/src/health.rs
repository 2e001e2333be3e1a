//! What is wrong with a sensor, from what it last gave.

use quantities::Moment;

use crate::constants::{LONGEST_GAP_S, SILENT_S, STUCK_S};
use crate::slot::Slot;

/// What is wrong with a sensor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Trouble {
    /// Nothing came since.
    Silent {
        /// The last reading.
        since: Moment,
    },
    /// One and the same number since.
    Stuck {
        /// The first of them.
        since: Moment,
        /// °C.
        celsius: f64,
    },
}

/// What is wrong at a moment, of the rows of the day before it in order of time; a sensor that never gave anything has nothing
/// wrong with it that could be told.
#[must_use]
pub fn trouble(slots: &[Slot], now: Moment) -> Option<Trouble> {
    let last = slots.last()?;
    if now.0 - last.last.0 > SILENT_S {
        return Some(Trouble::Silent { since: last.last });
    }
    stuck(slots).map(|(since, celsius)| Trouble::Stuck { since, celsius })
}

/// Since when the last rows hold one and the same number, and which, where that is for twelve hours and more without a gap.
#[must_use]
pub fn stuck(slots: &[Slot]) -> Option<(Moment, f64)> {
    let last = slots.last()?;
    let same = |s: &&Slot| s.least_c == last.least_c && s.greatest_c == last.least_c;
    let mut since = last.end();
    for slot in slots.iter().rev().take_while(same) {
        if since.0 - slot.end().0 > LONGEST_GAP_S {
            break;
        }
        since = slot.begins;
    }
    (last.end().0 - since.0 >= STUCK_S).then_some((since, last.least_c))
}
