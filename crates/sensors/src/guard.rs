//! Which readings are believed: one far outside what a garden has, or far from the one before, is not, unless others agree.

use quantities::bounds::READING_C;

use crate::Reading;
use crate::constants::{AGREE, AGREE_K, JUMP_K, JUMP_K_MIN};

/// What is remembered of a sensor from one reading to the next.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Guard {
    /// The last reading that was believed.
    pub last: Option<Reading>,
    /// The last odd one, and how many in a row agree with it.
    pub odd: Option<(Reading, u32)>,
}

/// Whether a reading is believed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It is.
    Believed,
    /// No garden has such a temperature: −127 and 85 °C are what common digital thermometers say when their line is broken or
    /// they have just been switched on (from memory).
    Impossible,
    /// Too far from the one before.
    Jumped,
}

impl Guard {
    /// Judges the next reading in the order of time and remembers it.
    ///
    /// Believed are readings within 6 K and 0.2 K a minute of the last believed, and the third of three odd ones that agree
    /// within 2 K. Checked by `guard::slips_are_not_believed_and_a_real_change_is`.
    pub fn judge(&mut self, reading: Reading) -> Verdict {
        if !READING_C.holds(reading.celsius) {
            return Verdict::Impossible;
        }
        let near = self.last.is_none_or(|last| {
            let minutes = (reading.at.0 - last.at.0).max(0) as f64 / 60.0;
            (reading.celsius - last.celsius).abs() <= JUMP_K + JUMP_K_MIN * minutes
        });
        if near {
            *self = Self { last: Some(reading), odd: None };
            return Verdict::Believed;
        }
        let agrees = |(odd, _): &(Reading, u32)| (odd.celsius - reading.celsius).abs() <= AGREE_K;
        let count = self.odd.filter(agrees).map_or(1, |(_, n)| n + 1);
        if count >= AGREE {
            *self = Self { last: Some(reading), odd: None };
            return Verdict::Believed;
        }
        self.odd = Some((reading, count));
        Verdict::Jumped
    }
}
