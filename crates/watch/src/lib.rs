//! What people are told and when: decided from what is known at a moment and from what was told before, kept in the diary
//! before it is sent, sent until it is taken or of no use any more. It reads no clock and opens no line: moments are passed
//! in, a [`World`] carries messages. So years of nights can be lived through in minutes (`examples/nights`).
//!
//! | module | holds |
//! |---|---|
//! | [`brief`] | a plan as far as messages need it |
//! | [`facts`] | what is known at a moment |
//! | [`subject`] | what a message is about |
//! | [`decide`] | what is to be told now: evening, change, night, morning, what cannot be seen |
//! | [`ledger`] | what was told lately, whom it reached, who has seen it |
//! | [`outbox`] | which message goes to whom now; quiet hours, tries again, the second person |
//! | [`calendar`] | evenings and quiet hours in the garden's zone |
//! | [`watcher`] | all of it, step by step |

pub mod brief;
pub mod calendar;
pub mod decide;
pub mod facts;
pub mod ledger;
pub mod outbox;
pub mod subject;
pub mod watcher;

pub use watcher::{Watcher, World};
