//! Every number of this crate that is chosen, in one table.

/// A reading so far from the last one believed is not believed by itself, K (chosen: a front takes some 10 K in an hour, a
/// tunnel that is opened in the sun more; that is what [`AGREE`] is for) …
pub const JUMP_K: f64 = 6.0;
/// … and so much more for each minute between them, K/min (chosen).
pub const JUMP_K_MIN: f64 = 0.2;
/// So many odd readings in a row that agree are believed after all (chosen).
pub const AGREE: u32 = 3;
/// Odd readings agree within this, K (chosen).
pub const AGREE_K: f64 = 2.0;
/// Readings of so long are one row, s (chosen: the steps of the model).
pub const SLOT_S: i64 = 600;
/// After so many days rows of ten minutes become rows of an hour (chosen: longer than any logger is left unread).
pub const FINE_DAYS: i64 = 40;
/// Length of such a row, s.
pub const COARSE_S: i64 = 3600;
/// After so many days rows are dropped; the lows of their nights stand in the diary (chosen).
pub const KEPT_DAYS: i64 = 1100;
/// A sensor that said nothing for so long is silent, s (chosen).
pub const SILENT_S: i64 = 3 * 3600;
/// A sensor that gave one and the same number for so long is stuck, s (chosen: air moves within half a day even where the
/// sensor tells only half degrees).
pub const STUCK_S: i64 = 12 * 3600;
/// Least share of a night that readings cover (chosen).
pub const LEAST_COVERED: f64 = 0.8;
/// Longest gap between readings of a night, s (chosen: the low may lie in a longer one).
pub const LONGEST_GAP_S: i64 = 3600;
/// A night is over so long after sunrise, s: the low comes about sunrise or a little after (common practice, no source).
pub const AFTER_SUNRISE_S: i64 = 45 * 60;
/// A time of a machine's own clock so far ahead is not believed, s (chosen).
pub const AHEAD_S: i64 = 600;
/// Rows of a file that are looked through for its heading (chosen).
pub const HEADING_WITHIN: usize = 50;
/// Readings that one message may bring (chosen).
pub const MOST_A_MESSAGE: usize = 10_000;
