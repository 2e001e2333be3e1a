//! Why past years cannot be simulated.

use quantities::Fault;

/// Why past seasons cannot be replayed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The record holds none of the years that were asked for.
    #[error("the record runs from {first} to {last}; none of the years asked for is whole in it")]
    NoYears {
        /// First year of the record.
        first: i16,
        /// Last year.
        last: i16,
    },
    /// No planting has a planting, or none stands at any time.
    #[error("no planting of the garden stands at a time when cold could harm it")]
    NothingStands,
    /// The physics did not close: our bug.
    #[error("bed `{bed}`: {error}")]
    Physics {
        /// Bed.
        bed: String,
        /// What did not close.
        error: microclimate::Error,
    },
    /// The planner failed: our bug.
    #[error(transparent)]
    Plan(#[from] evening::plan::PlanError),
}

impl Fault for Error {
    fn is_bug(&self) -> bool {
        matches!(self, Self::Physics { .. } | Self::Plan(_))
    }
}
