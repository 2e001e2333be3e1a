//! What is believed of a garden before its first reading.

/// What clear calm nights add to the garden's difference from its forecast, per unit of clearness, before the first reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prior {
    /// Middle, K.
    pub clear_k: f64,
    /// Standard deviation, K.
    pub clear_sigma_k: f64,
}
