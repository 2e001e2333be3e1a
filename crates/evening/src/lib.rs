//! Many possible nights, harm to crops, and the evening plan of least expected loss.
//!
//! Start at [`tonight()`]: garden and forecast in, [`report::Report`] out. Reads no clock.
//!
//! | module | holds |
//! |---|---|
//! | `tonight` | the whole evening, in order, with what to open in the morning |
//! | [`learned`] | what is known of this garden beyond its forecast |
//! | [`ensemble`], `series`, [`priors`] | possible nights drawn around the forecast |
//! | [`physics`], [`night`], [`steps`] | beds and covers as physics; every cover tried on every bed; time in steps |
//! | [`harm`] | from tissue temperature to loss |
//! | [`lies`] | what lies on a bed, and the work from one way to another |
//! | [`by_day`], [`day_cost`] | a bed carried into the day under a cover; what that day costs: growth, heat, closed flowers |
//! | [`plan`] | the choice for all beds together, and the order of work |
//! | [`horizon`] | several nights as one plan: beds by themselves, linked by prices |
//! | [`week`] | garden and forecast as several nights: states, courses, the answer |
//! | [`warnings`] | tonight's wind and snow against what covered beds stand |
//! | [`report`] | the answer as plain data |
//! | [`constants`] | every chosen number, with its source |
//!
//! Other rooms use the report, [`week`], and what past nights share with tonight: [`physics`], [`priors`], [`harm`],
//! [`night::PlantingAtRisk`] and [`plan`]. [`ensemble`], [`steps`] and [`warnings`] are public for the oracle tests alone.

pub mod by_day;
pub mod constants;
pub mod day_cost;
pub mod ensemble;
mod error;
pub mod harm;
pub mod horizon;
pub mod learned;
pub mod lies;
pub mod night;
pub mod physics;
pub mod plan;
pub mod priors;
pub mod report;
mod series;
pub mod steps;
mod tonight;
pub mod warnings;
pub mod week;

/// Number of the model behind a plan, kept with it so that old plans are not blamed on a new model.
///
/// Raise it when the same garden and forecast give other temperatures, chances or choices: physics, parameters, harm,
/// forecast errors, plan. Not for words, speed or new questions.
pub const MODEL: u32 = 5;

pub use error::Error;
pub use tonight::{Settings, tonight, tonight_knowing};
