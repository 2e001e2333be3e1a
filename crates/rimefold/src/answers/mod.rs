//! One answer a verb: plain data, and the same as text, as JSON and as a drawing. Terminal and pages both call these.
//!
//! | module | answers |
//! |---|---|
//! | [`check`] | is the garden file sound |
//! | [`tonight`], [`ahead`] | what to cover tonight, or open this morning; the nights after |
//! | [`week`] | the nights that the forecast reaches, as one plan |
//! | [`hoops`], [`cut`], [`kit`] | what a tunnel stands; how to cut; what to own |
//! | [`station`], [`replay`], [`year`] | a station's record; its years again on this garden; the dates of a year |
//! | [`learn`] | what the garden's own thermometer has taught |
//! | [`messages`] | what people are told |
//! | [`notes`] | what is noted |
//! | [`towns`] | places by name |
//! | [`sensors`] | automatic thermometers |
//! | [`upkeep`] | what to look after today; how much of each sheet's life is left |
//! | [`skill`] | what was said against what was read |
//! | [`calendar`], [`drawing`], `json_parts`, [`supply_example`] | what several answers share |

pub mod ahead;
pub mod calendar;
pub mod check;
pub mod cut;
pub mod drawing;
pub mod hoops;
mod json_parts;
mod kept_results;
pub mod kit;
pub mod learn;
pub mod messages;
pub mod notes;
mod progress;
pub mod replay;
#[cfg(test)]
mod schema;
pub mod sensors;
pub mod skill;
pub mod station;
pub mod supply_example;
pub mod tonight;
pub mod towns;
pub mod upkeep;
pub mod week;
pub mod year;

use serde::Serialize;

use crate::exit::Failure;

/// An answer as JSON text: two spaces a level, members in the order of the alphabet.
///
/// # Errors
/// A type of ours that cannot be written, which is a bug.
pub fn json(answer: &impl Serialize) -> Result<String, Failure> {
    let value = serde_json::to_value(answer).map_err(Failure::bug)?;
    Ok(format!("{value:#}\n"))
}
