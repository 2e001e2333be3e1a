//! Why there is no kit.

use quantities::Fault;

use crate::cut::CutError;

/// What the grower can mend is kept apart from our bugs: [`KitError::Bug`].
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum KitError {
    /// The garden file offers no cloth.
    #[error("no cloth is on offer")]
    NothingOnOffer,
    /// No bed wants a cover.
    #[error("no bed needs a cover: nothing grows there, or all of it stands any frost")]
    NothingWanted,
    /// A budget that is none.
    #[error("the budget is {value}; it must be a number, at least 0 and at most 10000000")]
    BadBudget {
        /// Value, money a year.
        value: f64,
    },
    /// A number of years that is none.
    #[error("the kit is to be bought over {value} years; it must be 1 to 10")]
    BadYears {
        /// Value.
        value: u32,
    },
    /// A roll or a piece that cannot be cut.
    #[error(transparent)]
    Cut(#[from] CutError),
    /// An answer breaks a rule: our bug.
    #[error("the kit breaks a rule: {0}")]
    Bug(String),
}

impl Fault for KitError {
    fn is_bug(&self) -> bool {
        matches!(self, Self::Bug(_) | Self::Cut(CutError::Bug(_)))
    }
}
