//! The kit: which sheets, hoops, pins and clips a garden should own, what they cost a season, and in which year to buy.
//!
//! Beds that never need a cover in the same half of a month share sheets. Rolls are bought whole: what the program
//! counts by area is cut for real, and where the cut takes more, the program is told and asked again.
//!
//! | module | holds |
//! |---|---|
//! | `settings` | what is asked beyond the garden file |
//! | `problem` | wants, ways to meet them, sizes, rolls; what a choice makes one own |
//! | `build`, `half_months` | the same from a garden file |
//! | `program` | the integer program, and what its answer means |
//! | `capacity_cuts` | how much a roll holds, for the program |
//! | `feedback_cuts` | what a real cut teaches the program |
//! | `buying` | the real rolls for the sheets and hoops of a choice |
//! | `found` | a choice with its rolls and its cost |
//! | `least_cost` | program and cut in turn until they agree, or the gap |
//! | `greedy` | the kit a hurried person buys: the rival and the fallback |
//! | `years` | which rolls in which year |
//! | `answer`, `report` | the answer as plain data, and how it is made |

mod answer;
mod build;
mod buying;
mod capacity_cuts;
mod error;
mod feedback_cuts;
mod found;
mod greedy;
mod half_months;
mod least_cost;
mod problem;
mod program;
mod report;
mod settings;
mod years;

pub use answer::{Cost, Cover, Item, Kit, Line, Outcome, Piece, StockItem, Why, YearBill};
pub use build::{Built, against_cold};
pub use buying::{Bought, BoughtRoll};
pub use error::KitError;
pub use found::Found;
pub use half_months::half_months;
pub use least_cost::least_cost;
pub use problem::{
    BedHoops, CUTTING, Choice, Fixings, Goods, Origin, Owned, Problem, Roll, SLOTS, Size, Want, Way,
};
pub use report::whole_bill;
pub use settings::Settings;

use garden::Garden;
use milp::Solver;

/// The kit of least cost a season: whole rolls over the seasons they last, and the worth of what is left uncovered.
///
/// Without the price of every cloth that could serve, least cloth a season (m²) instead, and no budget.
/// Checked by `kit::a_garden_shares_what_it_can`, `kit::every_small_kit`.
/// Equation 61 of docs/science.md.
///
/// # Errors
/// [`KitError`]; never [`KitError::Bug`] unless the fault is ours.
pub fn kit(garden: &Garden, settings: Settings, solver: &dyn Solver) -> Result<Kit, KitError> {
    let built = build::from_garden(garden, settings)?;
    let found = least_cost(&built.problem, solver)?;
    let unlimited = if built.problem.budget.is_finite() && found.choice.contains(&None) {
        Some(least_cost(&Problem { budget: f64::INFINITY, ..built.problem.clone() }, solver)?)
    } else {
        None
    };
    let years = years::spread(&built.problem, &found, settings.years.clamp(1, 10), solver)?;
    Ok(report::report(built, &found, unlimited.as_ref(), years))
}
