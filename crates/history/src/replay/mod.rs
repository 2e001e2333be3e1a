//! Past seasons again: every night of every year through the physics on the grower's own beds, and policies compared.
//!
//! | module | holds |
//! |---|---|
//! | [`standing`] | which planting stands when |
//! | [`years`] | sixteen years of a station record abreast, ten minutes a step |
//! | [`kinds`] | beds that are the same to the physics |
//! | [`nights`] | the table: bed kind × cover × year × night |
//! | [`drawn_forecast`] | what the evening knew, and what the night then brought |
//! | [`policies`] | ways to decide, from never covering to perfect foresight |
//! | [`hindsight`] | the cheapest course of a whole season for one bed |
//! | [`night`], [`course`] | one night of one year; one policy walking through a year |
//! | [`play`] | blocks of years, played by every policy |
//! | [`score`] | money, evenings, minutes, light, heat; the value score and its spread |
//!
//! Start at [`blocks::Replay`]: garden and record in, a [`blocks::Block`] of up to sixteen years out.

pub mod blocks;
pub mod drawn_forecast;
pub mod hindsight;
pub mod kinds;
pub mod night;
pub mod nights;
pub mod policies;
pub mod policy_run;
pub mod score;
pub mod standing;
pub mod years;

pub use blocks::{Block, Replay, Season};
pub use policies::{POLICIES, Policy};
pub use standing::Standing;

/// Raised whenever the same inputs give other results, so that kept results are thrown away.
pub const MODEL: u32 = 2;

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
    /// No planting has a stake, or none stands at any time.
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

impl Error {
    /// Whether the fault is ours.
    #[must_use]
    pub fn is_bug(&self) -> bool {
        matches!(self, Self::Physics { .. } | Self::Plan(_))
    }
}
