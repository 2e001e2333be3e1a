//! Time in steps of ten minutes from the moment the drawn nights begin.

use microclimate::parameters::STEP_S;
use quantities::Moment;

/// Steps in half an hour.
pub const STEPS_A_HALF_HOUR: usize = 3;

/// When things happen, in steps from the moment the drawn nights begin.
#[derive(Clone, Copy, Debug)]
pub struct NightSteps {
    /// The moment of asking; asked in the night, sunset or the first hour that is known after it.
    pub start: Moment,
    /// Cold counts from here: sunset.
    pub watched: usize,
    /// Covers go on.
    pub cover: usize,
    /// The night ends.
    pub end: usize,
}

/// The moment of step `k`.
#[must_use]
pub fn at_step(start: Moment, k: usize) -> Moment {
    start.plus_seconds(STEP_S as i64 * k as i64)
}

/// Steps from one moment to another.
#[must_use]
pub fn steps_between(from: Moment, to: Moment) -> usize {
    ((to.0 - from.0).max(0) as f64 / STEP_S).ceil() as usize
}

/// Hours in a number of steps.
#[must_use]
pub fn hours(steps: usize) -> f64 {
    steps as f64 * STEP_S / 3600.0
}
