//! A number with its lower, central and upper value, and how far its source was seen.

/// Lower, central and upper value of one quantity, in the unit its owner names.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// The lower value.
    pub low: f64,
    /// The value to compute with.
    pub central: f64,
    /// The upper value.
    pub high: f64,
}

impl Range {
    /// The three values in rising order.
    #[must_use]
    pub const fn new(low: f64, central: f64, high: f64) -> Self {
        Self { low, central, high }
    }
}

/// How a number came here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trust {
    /// Seen in the source that is named.
    Read,
    /// Remembered from the source that is named, which was not seen.
    FromMemory,
    /// What growers do; no source.
    CommonPractice,
}
