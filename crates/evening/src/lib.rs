//! Many possible nights, harm to crops, and the evening plan of least expected loss.
//!
//! Start at [`tonight::tonight`]: garden and forecast in, [`report::Report`] out. Reads no steps.
//!
//! | module | holds |
//! |---|---|
//! | [`mod@tonight`] | the whole evening, in order |
//! | [`ahead`] | the same for every night the forecast reaches |
//! | [`ensemble`], [`series`], [`priors`] | possible nights drawn around the forecast |
//! | [`physics`], [`night`] | beds and covers as physics; every cover tried on every bed |
//! | [`harm`] | from tissue temperature to loss |
//! | [`plan`] | the choice for all beds together, and the order of work |
//! | [`morning`] | what to open and when |
//! | [`warnings`] | tonight's wind and snow against what covered beds stand |
//! | [`report`] | the answer as plain data |

pub mod ahead;
pub mod ensemble;
pub mod error;
pub mod harm;
pub mod horizon;
pub mod morning;
pub mod night;
pub mod physics;
pub mod plan;
pub mod priors;
pub mod report;
pub mod series;
pub mod tonight;
pub mod warnings;

/// Number of the model behind a plan, kept with it so that old plans are not blamed on a new model.
///
/// Raise it when the same garden and forecast give other temperatures, chances or choices: physics, parameters, harm,
/// forecast errors, plan. Not for words, speed or new questions.
pub const MODEL: u32 = 1;

pub use error::Error;
pub use tonight::{Settings, tonight};
