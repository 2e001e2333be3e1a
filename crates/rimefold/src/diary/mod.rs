//! Between the diary and the rest of the program: entries and skill in words, plans from reports, failures.

pub mod damaged;
pub mod describe;
mod failure;
pub mod from_report;
pub mod learned;
pub mod lying;
pub mod unlikely;
pub mod verdict;

use ::diary::Id;

use crate::exit::Failure;
use crate::outside::random;

/// A name for a new entry or plan.
///
/// # Errors
/// The system gives no random bytes.
pub fn new_id() -> Result<Id, Failure> {
    Ok(Id::from_random(random::sixteen_bytes()?))
}
