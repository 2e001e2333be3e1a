//! Why a step could not be computed.

/// A step that is an error, never a silent carry-on.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The energy budget did not close.
    #[error(
        "the energy budget of a step is open by {residual_w_m2:.3} W/m² (limit {limit_w_m2} W/m²)"
    )]
    Budget {
        /// Greatest residual of any node and member, W/m².
        residual_w_m2: f64,
        /// The limit, W/m².
        limit_w_m2: f64,
    },
    /// A temperature left the range in which the formulas hold.
    #[error("a temperature left the believable range −95 to 95 °C")]
    OutOfRange,
}
