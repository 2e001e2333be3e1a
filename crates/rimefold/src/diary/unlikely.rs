//! Words for a reading that is probably a slip of the pen.

use diary::Diary;
use diary::entries::JudgedEntry;
use diary::entry::{Entry, What};

use crate::exit::Failure;
use crate::format::GardenFormat;

/// What to ask of an entry beside those that are kept, where it is a reading far colder than anything near.
///
/// # Errors
/// The diary cannot be read.
pub fn told(
    diary: &Diary,
    kept: &[JudgedEntry],
    entry: &Entry,
    words: &GardenFormat,
) -> Result<Option<String>, Failure> {
    let What::Reading { celsius, .. } = entry.what else { return Ok(None) };
    let near = diary.far_below(entry, kept)?;
    Ok(near.map(|coldest| {
        format!(
            "{} is {} {} colder than anything near it: readings of the nights around and what the plan expected are {} or more",
            words.temperature(celsius),
            words.difference(coldest - celsius),
            words.degree(),
            words.temperature(coldest)
        )
    }))
}
