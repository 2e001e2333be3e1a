//! Metres to whole tenths of a millimetre, finer than anyone cuts: an inch is 254 of them.

/// Tenths of a millimetre in a metre.
const PER_M: f64 = 10_000.0;

/// Longest length, m.
pub const LONGEST_M: f64 = 10_000.0;

/// Most pieces cut at once.
pub const MOST_PIECES: u64 = 10_000;

/// A piece's length, rounded up; what is nearly whole is whole.
pub fn up(length_m: f64) -> u64 {
    (length_m * PER_M - 1e-4).ceil().max(1.0) as u64
}

/// A roll's length, rounded down.
pub fn down(length_m: f64) -> u64 {
    (length_m * PER_M + 1e-4).floor() as u64
}

/// Back to metres.
pub fn metres(units: u64) -> f64 {
    units as f64 / PER_M
}
