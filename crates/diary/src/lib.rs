//! The diary of a garden, `diary.sqlite` beside its `garden.toml`: what happened, what was said, and how well.
//!
//! Only ever added to: an undo is an entry that strikes another. Blocking; a [`Diary`] may move to another thread. It
//! reads no clock and draws no chance: moments and random bytes are passed in.
//!
//! | module | holds |
//! |---|---|
//! | [`entry`], [`id`], [`keyword`] | what happened, as plain data |
//! | [`utc`], [`night`], [`digest`] | moments in files; which night a moment belongs to; SHA-256 |
//! | [`error`] | what can go wrong, and whether it is our bug |
//! | [`database`], `connection`, `layout` | the open file; its layouts and how an older one is brought up to date |
//! | `table_row` | a row spelled once: struct, columns of the database and of files |
//! | [`entries`], `tables`, [`undo`] | entries in and out, each kind by its own table; which of them stand |
//! | [`forecasts`], [`saved_plans`], [`predictions`] | forecasts as they were read, plans as they were made, what they said |
//! | [`completed`] | tasks of a plan done |
//! | [`state`], [`stays`] | what lies on each bed, from the entries; how long each sheet lay where |
//! | [`learning`] | from when to when the nights teach |
//! | [`skill`] | what was said against what was read |
//! | [`unlikely`] | readings that are asked about |
//! | [`messages`] | what people were told, whom it reached, who has seen it |
//! | [`exchange`] | everything as CSV and JSON, out and in |
//! | [`backup`], [`restore`], `rescue` | copies; bringing them back; what can be read of a damaged one |
//! | [`series`] | readings of machines, in a file of their own |
//! | [`visits`] | password and visits of the pages |

pub mod backup;
pub mod completed;
mod connection;
pub mod database;
pub mod digest;
pub mod entries;
pub mod entry;
pub mod error;
pub mod exchange;
pub mod forecasts;
pub mod id;
pub mod keyword;
mod layout;
pub mod learning;
pub mod messages;
pub mod night;
pub mod predictions;
mod rescue;
pub mod restore;
pub mod saved_plans;
pub mod series;
pub mod skill;
pub mod state;
pub mod stays;
mod table_row;
mod tables;
pub mod undo;
pub mod unlikely;
pub mod utc;
pub mod visits;

pub use database::{Diary, NAME, beside};
pub use error::Error;
pub use id::Id;
