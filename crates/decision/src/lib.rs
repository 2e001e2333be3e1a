//! Many possible nights, harm to crops, and the evening plan of least expected loss.
//!
//! Start at [`tonight::tonight`]: garden and forecast in, [`report::Report`] out. Reads no clock.
//!
//! | module | holds |
//! |---|---|
//! | [`mod@tonight`] | the whole evening, in order |
//! | [`ahead`] | the same for every night the forecast reaches |
//! | [`outlook`], [`series`], [`priors`] | possible nights drawn around the forecast |
//! | [`physics`], [`night`] | beds and covers as physics; every cover tried on every bed |
//! | [`harm`] | from tissue temperature to loss |
//! | [`plan`] | the choice for all beds together, and the order of work |
//! | [`morning`] | what to open and when |
//! | [`cut_list`] | the cut list of a garden |
//! | [`cut`] | hoops from wire, sheets from cloth: what to buy and how to cut it |
//! | [`tunnel`] | one bed's hoops: measures, what fits, what they stand, what would stand more |
//! | [`kit`] | which sheets, hoops, pins and clips to own, and in which year to buy them |
//! | [`worth`] | what each sheet would have saved over past years, and the best set for the money |
//! | [`stands`], [`warnings`] | what covered beds stand in wind and snow; tonight's against it |
//! | [`report`] | the answer as plain data |
//! | [`season`] | past years again on the grower's own beds, policies compared |
//! | [`mod@year`] | when to set out, last picking, winter, what the hoops carry |

pub mod ahead;
pub mod cut;
pub mod cut_list;
pub mod error;
pub mod harm;
pub mod kit;
pub mod morning;
pub mod night;
pub mod outlook;
pub mod physics;
pub mod plan;
pub mod priors;
pub mod report;
pub mod season;
pub mod series;
pub mod stands;
pub mod tonight;
pub mod tunnel;
pub mod warnings;
pub mod worth;
pub mod year;

/// Number of the model behind a plan, kept with it so that old plans are not blamed on a new model.
///
/// Raise it when the same garden and forecast give other temperatures, chances or choices: physics, parameters, harm,
/// forecast errors, plan. Not for words, speed or new questions.
pub const MODEL: u32 = 1;

pub use error::Error;
pub use tonight::{Settings, tonight};
