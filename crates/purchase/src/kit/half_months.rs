//! The halves of months of a year, the times at which a kit's covers are wanted.

use garden::need::Need;

/// Halves of months in a year.
const HALF_MONTHS: u32 = 24;

/// Halves of months in which a need may be wanted: days 1 to 15, and the rest.
#[must_use]
pub fn half_months(need: &Need) -> u128 {
    const DAYS: [u16; 12] = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let mut day = 0;
    let mut slots = 0_u128;
    for (month, days) in DAYS.iter().enumerate() {
        for d in 1..=*days {
            day += 1;
            if need.on(day) {
                slots |= 1 << (2 * month + usize::from(d > 15));
            }
        }
    }
    slots & ((1 << HALF_MONTHS) - 1)
}
