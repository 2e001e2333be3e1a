//! Hoops from wire and sheets from cloth, for all beds at once, with the least bought.

pub mod json;
pub mod svg;
pub mod text;

use garden::{Bed, Garden};
use milp::Microlp;
use purchase::cut::CutError;
use purchase::cut_list::{self, CutList};

use crate::answers::supply_example;
use crate::exit::{Exit, Failure};

/// The cut list of some beds. `file` is how the garden's file is called in a failure.
///
/// # Errors
/// Nothing is on offer, or what is asked cannot be cut.
pub fn cut_list(garden: &Garden, beds: &[&Bed], file: &str) -> Result<CutList, Failure> {
    if garden.supply.rods.is_empty() && garden.supply.cloths.is_empty() {
        let message = format!(
            "{file}: nothing is on offer to cut from.\nWrite down what you could buy, at your own prices, such as:\n\n{}",
            supply_example::example(garden.units)
        );
        return Err(Failure::new(Exit::Garden, message));
    }
    cut_list::for_beds(garden, beds, &Microlp).map_err(|e| {
        let is_bug = matches!(e, CutError::Bug(_));
        if is_bug { Failure::bug(e) } else { Failure::new(Exit::Garden, format!("{file}: {e}")) }
    })
}
