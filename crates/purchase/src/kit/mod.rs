//! The kit: which sheets, hoops, pins and clips a garden should own, what they cost a season, and in which year to buy.
//!
//! Beds that never need a cover in the same half of a month share sheets. Rolls are bought whole: what the program
//! reckons by area is cut for real, and where the cut takes more, the program is told and asked again.
//!
//! | module | holds |
//! |---|---|
//! | [`problem`] | wants, ways to meet them, sizes, rolls; what a choice makes one own |
//! | [`build`] | the same from a garden file |
//! | `program` | the integer program, and what its answer means |
//! | `room` | how much a roll holds, for the program |
//! | `lesson` | what a real cut teaches the program |
//! | `buying` | the real rolls for the sheets and hoops of a choice |
//! | [`mod@best`] | program and cut in turn until they agree, or the gap |
//! | `greedy` | the kit a hurried person buys: the rival and the fallback |
//! | `years` | which rolls in which year |
//! | [`report`] | the answer as plain data |

pub mod best;
pub mod build;
mod buying;
mod capacity_cuts;
pub mod error;
mod feedback_cuts;
mod greedy;
pub mod problem;
mod program;
pub mod report;
mod years;

pub use best::best;
pub use error::KitError;
pub use report::Kit;

use garden::Garden;

use milp::Solver;

/// What the grower asks for beyond the garden file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// What may be spent in a year, money; `None` without a limit.
    pub budget: Option<f64>,
    /// Years over which the kit is bought, 1 to 10.
    pub years: u32,
    /// Whether the hoops of the garden file stand already and are not to be bought.
    pub have_hoops: bool,
}

/// The kit of least cost a season: whole rolls over the seasons they last, and the worth of what is left uncovered.
///
/// Without the price of every cloth that could serve, least cloth a season (m²) instead, and no budget.
/// Checked by `kit::a_garden_shares_what_it_can`, `kit::every_small_kit`.
/// Equation 61 of docs/science.md.
///
/// # Errors
/// [`KitError`]; never [`KitError::Bug`] unless the fault is ours.
pub fn kit(garden: &Garden, settings: Settings, solver: &dyn Solver) -> Result<Kit, KitError> {
    let built = build::problem(garden, settings)?;
    let found = best(&built.problem, solver)?;
    let unlimited = if built.problem.budget.is_finite() && found.choice.contains(&None) {
        Some(best(&problem::Problem { budget: f64::INFINITY, ..built.problem.clone() }, solver)?)
    } else {
        None
    };
    let years = years::spread(&built.problem, &found, settings.years.clamp(1, 10), solver)?;
    Ok(report::of(built, &found, unlimited.as_ref(), years))
}
