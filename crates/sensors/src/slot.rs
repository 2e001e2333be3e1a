//! Readings of some minutes as one row.

use quantities::Moment;

use crate::Reading;
use crate::constants::SLOT_S;

/// Readings that lie in one stretch of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slot {
    /// First second.
    pub begins: Moment,
    /// Length, s.
    pub seconds: i64,
    /// The last reading in it.
    pub last: Moment,
    /// How many.
    pub count: u32,
    /// Their mean, °C.
    pub mean_c: f64,
    /// The lowest, °C.
    pub least_c: f64,
    /// The highest, °C.
    pub greatest_c: f64,
}

impl Slot {
    /// The ten minutes of one reading.
    #[must_use]
    pub fn of(reading: Reading) -> Self {
        Self {
            begins: Moment(reading.at.0.div_euclid(SLOT_S) * SLOT_S),
            seconds: SLOT_S,
            last: reading.at,
            count: 1,
            mean_c: reading.celsius,
            least_c: reading.celsius,
            greatest_c: reading.celsius,
        }
    }

    /// First second after it.
    #[must_use]
    pub fn end(&self) -> Moment {
        self.begins.plus_seconds(self.seconds)
    }

    /// Takes another in: its readings, not its length.
    pub fn merge(&mut self, other: &Self) {
        let (a, b) = (f64::from(self.count), f64::from(other.count));
        self.mean_c = (self.mean_c * a + other.mean_c * b) / (a + b);
        self.count = self.count.saturating_add(other.count);
        self.last = self.last.max(other.last);
        self.least_c = self.least_c.min(other.least_c);
        self.greatest_c = self.greatest_c.max(other.greatest_c);
    }

    /// Rows in order of time as rows of `seconds`. Readings do not change; a row that is as long already stays.
    #[must_use]
    pub fn coarser(slots: &[Self], seconds: i64) -> Vec<Self> {
        let mut out: Vec<Self> = Vec::new();
        for slot in slots {
            let begins = Moment(slot.begins.0.div_euclid(seconds) * seconds);
            match out.last_mut().filter(|o| o.begins == begins) {
                Some(same) => same.merge(slot),
                None => out.push(Self { begins, seconds: slot.seconds.max(seconds), ..*slot }),
            }
        }
        out
    }
}
