//! Why nothing can be said of what sheets are worth.

use purchase::kit::KitError;
use quantities::Fault;

use crate::years;

/// Why nothing can be said of what sheets are worth.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The record does not serve, or the physics failed.
    #[error(transparent)]
    Years(#[from] years::Error),
    /// There is no question, or the program failed.
    #[error(transparent)]
    Kit(#[from] KitError),
}

impl Fault for Error {
    fn is_bug(&self) -> bool {
        match self {
            Self::Years(e) => e.is_bug(),
            Self::Kit(e) => e.is_bug(),
        }
    }
}
