//! What a message is about.

use diary::messages::MessageKind;
use serde::{Deserialize, Serialize};

use crate::brief::{Brief, Opens};
use crate::facts::{Blind, Sense, Upkeep};

/// What a message is about; kept with it, so that the next one knows what was told.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", tag = "about")]
pub enum Subject {
    /// The plan of the evening, or that nothing is to be done.
    Evening {
        /// It.
        plan: Brief,
    },
    /// The plan is another than was told.
    Change {
        /// The new one.
        plan: Brief,
        /// What differs.
        what: Vec<Difference>,
    },
    /// Nothing need be done after all.
    AllClear {
        /// The new plan.
        plan: Brief,
    },
    /// The night is colder than was told.
    Colder {
        /// The air now, °C.
        air_c: f64,
        /// What it should not have passed below in nine nights of ten, °C.
        told_c: f64,
        /// Beds that are likely to be harmed as they lie.
        beds: Vec<String>,
    },
    /// Beds that were to be covered are not noted as covered and near their limits.
    Near {
        /// Beds.
        beds: Vec<String>,
        /// When the first is likely to reach its limit, s since 1970.
        first: i64,
    },
    /// Covers that must be opened.
    Open {
        /// Which.
        opens: Vec<Opens>,
        /// Whether it is said again.
        again: bool,
    },
    /// There is no plan for this evening.
    NoPlan {
        /// Why.
        why: String,
    },
    /// Something that is needed cannot be had.
    Blind {
        /// What.
        blind: Blind,
    },
    /// It can be had again.
    SeesAgain {
        /// What.
        sense: Sense,
    },
    /// What is looked at from time to time.
    Upkeep {
        /// What.
        upkeep: Upkeep,
    },
}

/// What differs between two plans.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Difference {
    /// A bed must be covered that was to stay as it is.
    Cover(String),
    /// A bed gets another cover.
    OtherCover(String),
    /// A bed need not be covered.
    Leave(String),
    /// The work must begin sooner.
    Sooner,
    /// It may begin later.
    Later,
    /// A bed is in more danger than was told, the plan followed.
    MoreDanger(String),
}

impl Subject {
    /// What its message is for.
    #[must_use]
    pub fn kind(&self) -> MessageKind {
        match self {
            Self::Evening { .. } => MessageKind::Evening,
            Self::Change { .. } => MessageKind::Change,
            Self::AllClear { .. } => MessageKind::AllClear,
            Self::Colder { .. } | Self::Near { .. } => MessageKind::Night,
            Self::Open { .. } => MessageKind::Morning,
            Self::NoPlan { .. } => MessageKind::NoPlan,
            Self::Blind { .. } => MessageKind::Blind,
            Self::SeesAgain { .. } => MessageKind::SeesAgain,
            Self::Upkeep { .. } => MessageKind::Upkeep,
        }
    }

    /// The plan it tells, where it tells one.
    #[must_use]
    pub fn plan(&self) -> Option<&Brief> {
        match self {
            Self::Evening { plan } | Self::Change { plan, .. } | Self::AllClear { plan } => {
                Some(plan)
            }
            _ => None,
        }
    }
}
