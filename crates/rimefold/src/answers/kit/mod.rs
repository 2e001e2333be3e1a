//! Which sheets, hoops, pins and clips to own, what they cost a season, and in which year to buy them.

mod goods_json;
pub mod json;
mod names;
pub mod sheet_value;
pub mod text;

use std::path::Path;

use garden::Garden;
use milp::Microlp;
use purchase::kit::{Kit, KitError, Settings, kit};
use quantities::UnitSystem;

use crate::answers::supply_example;
use crate::exit::{Exit, Failure};

/// The kit of least cost a season. `file` is the garden's file, for the words of a failure.
///
/// # Errors
/// Nothing is on offer, budget or years are out of range, or a bug of ours.
pub fn best_kit(garden: &Garden, settings: Settings, file: &Path) -> Result<Kit, Failure> {
    kit(garden, settings, &Microlp).map_err(|e| match e {
        KitError::NothingOnOffer => {
            let example = example(garden.units);
            let message = format!(
                "{}: no cloth is on offer, so there is nothing to choose from.\n\
                 Write down what you could buy, at your own prices, such as:\n\n{example}",
                file.display()
            );
            Failure::new(Exit::Garden, message)
        }
        KitError::BadBudget { .. } | KitError::BadYears { .. } => {
            Failure::new(Exit::Usage, e.to_string())
        }
        e => Failure::from_fault(&e, Exit::Garden),
    })
}

/// What to write into a garden file that offers no cloth.
fn example(units: UnitSystem) -> String {
    let (supply, weight) = (supply_example::example(units), supply_example::weight(units));
    format!(
        "\
{supply}

and, after a bed, what it is to carry when:

[[bed.need]]
kind = \"row cover\"
least_{weight}
from = \"04-01\"
to = \"05-31\""
    )
}
