//! What sheets are worth: what each would have saved over past years, and the best set to buy for the money.
//!
//! Two stages. Bought once: whole rolls, cut to the sizes that beds need. Used every evening of the record: each bed is
//! covered when the evening's forecast calls for it, never because the night is known.
//!
//! | module | holds |
//! |---|---|
//! | [`offers`] | every cover that is looked at: from the shed, and cut from cloth on offer |
//! | [`past`] | **start here**: the record's nights, then everything below |
//! | [`bed`] | one bed with one cover through one year |
//! | [`evenings`] | which beds want covers on the same evenings |
//! | [`set`] | the best set, by the kit's program |
//! | [`played`] | the evening plan with that set, night by night |
//! | [`report`] | the answer as plain data |

pub mod bed;
pub mod evenings;
pub mod offers;
pub mod past;
pub mod played;
pub mod report;
pub mod set;

pub use past::Past;
pub use report::Worth;

use crate::replay;
use purchase::kit::KitError;

/// Why nothing can be said of what sheets are worth.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The record does not serve, or the physics failed.
    #[error(transparent)]
    Season(#[from] replay::Error),
    /// There is no question, or the program failed.
    #[error(transparent)]
    Kit(#[from] KitError),
}

impl Error {
    /// Whether the fault is ours.
    #[must_use]
    pub fn is_bug(&self) -> bool {
        match self {
            Self::Season(e) => e.is_bug(),
            Self::Kit(e) => e.is_bug(),
        }
    }
}
