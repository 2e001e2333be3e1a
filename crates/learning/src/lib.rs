//! How a garden differs from its forecast, learned night by night from its own thermometer.
//!
//! Start at [`Lessons::from_nights`]: what was read less what was forecast goes in, [`Lessons::outlook`] says how far the
//! next night will lie from its forecast, with all the doubt there is. Plain statistics: no weather, no files, no clock.
//!
//! | module | holds |
//! |---|---|
//! | [`constants`] | every chosen number, with what chose it |
//! | [`prior`] | what is believed before the first reading |
//! | `belief` | one account of the garden, drawn on by each night's reading |
//! | [`lessons`] | many accounts side by side, weighed by how well each foretold |
//! | [`outlook`] | the next night: middle, spread, chances, draws |
//! | [`student`] | Student's t distribution |
//! | [`cover`] | what readings under a cover teach of it |
//! | [`evening`] | this evening's readings drawn on through the night |

mod belief;
pub mod constants;
pub mod cover;
pub mod evening;
pub mod lessons;
pub mod outlook;
pub mod prior;
pub mod student;

pub use lessons::{Lessons, Night};
pub use outlook::Outlook;
pub use prior::Prior;
