//! The low of a night from the rows of a sensor.

use std::ops::Range;

use quantities::Moment;

use crate::constants::{AFTER_SUNRISE_S, LEAST_COVERED, LONGEST_GAP_S};
use crate::health::stuck;
use crate::slot::Slot;

/// The low of a night.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Low {
    /// The row it lies in: its first second.
    pub at: Moment,
    /// °C.
    pub celsius: f64,
}

/// Why a night has no low.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoLow {
    /// Readings cover too little of it, or leave too long a gap.
    Gaps,
    /// The sensor gave one and the same number.
    Stuck,
}

/// When the low of a night is surely behind: a while after sunrise.
#[must_use]
pub fn over(sunrise: Moment) -> Moment {
    sunrise.plus_seconds(AFTER_SUNRISE_S)
}

/// The low between sunset and [`over`], of rows in order of time.
///
/// # Errors
/// [`NoLow`]. Checked by `night::a_night_with_gaps_has_no_low`.
pub fn low(slots: &[Slot], sunset: Moment, sunrise: Moment) -> Result<Low, NoLow> {
    let night: Range<Moment> = sunset..over(sunrise);
    let within: Vec<&Slot> =
        slots.iter().filter(|s| s.end() > night.start && s.begins < night.end).collect();
    let covered: i64 =
        within.iter().map(|s| s.end().0.min(night.end.0) - s.begins.0.max(night.start.0)).sum();
    let length = (night.end.0 - night.start.0).max(1);
    let mut reached = night.start;
    let mut gap = 0;
    for slot in &within {
        gap = gap.max(slot.begins.0 - reached.0);
        reached = reached.max(slot.end());
    }
    gap = gap.max(night.end.0 - reached.0);
    if (covered as f64) < LEAST_COVERED * length as f64 || gap > LONGEST_GAP_S {
        return Err(NoLow::Gaps);
    }
    let upto = slots.iter().filter(|s| s.begins < night.end).copied().collect::<Vec<_>>();
    if stuck(&upto).is_some() {
        return Err(NoLow::Stuck);
    }
    let lowest = within.into_iter().min_by(|a, b| a.least_c.total_cmp(&b.least_c));
    lowest.map(|s| Low { at: s.begins, celsius: s.least_c }).ok_or(NoLow::Gaps)
}
