//! Several nights as one plan: beds by themselves, linked by prices, and tonight repaired to what can be done.
//!
//! Abstract: states, moves, costs and limits in; no weather and no crops. Start at [`plan`].
//!
//! | module | holds |
//! |---|---|
//! | [`problem`] | beds, decisions, limits |
//! | [`lattice`] | what may become known |
//! | [`bed_program`] | one bed at given prices, exactly |
//! | [`prices`] | the prices |
//! | [`dual`] | the prices that make the bound highest, and that bound |
//! | [`repair`] | one decision for all beds together |
//! | [`rollout`] | what the plan is worth when it is followed |
//! | [`shortages`] | what is short, and what one more would save |

pub mod bed_program;
pub mod dual;
pub mod lattice;
pub mod prices;
pub mod problem;
pub mod repair;
pub mod rollout;
pub mod shortages;

use milp::Solver;

pub use dual::Dual;
pub use lattice::{Lattice, Step};
pub use prices::Prices;
pub use problem::{Bed, Decision, Move, Part, Problem};
pub use rollout::Worth;

use crate::plan::PlanError;

/// How hard to try; none of it depends on a clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Most steps of the prices.
    pub steps: u32,
    /// Every course is followed when at most so many are on their way at once.
    pub most_courses: usize,
    /// Else so many are drawn.
    pub drawn: usize,
    /// Which ones.
    pub seed: u64,
}

impl Default for Settings {
    fn default() -> Self {
        Self { steps: 200, most_courses: 64, drawn: 16, seed: 1 }
    }
}

/// The plan, its worth and how far it can be from the best.
#[derive(Clone, Debug)]
pub struct SeveralNights {
    /// What to do now, for each bed: an index into its moves of the first decision.
    pub now: Vec<usize>,
    /// What following the plan costs.
    pub worth: Worth,
    /// No plan can cost less, money.
    pub bound: f64,
    /// Prices and beds' programs.
    pub dual: Dual,
}

impl SeveralNights {
    /// How much dearer than the best the plan can be, as a share of its cost.
    #[must_use]
    pub fn gap(&self) -> f64 {
        if self.worth.cost > 0.0 {
            ((self.worth.cost - self.bound) / self.worth.cost).max(0.0)
        } else {
            0.0
        }
    }
}

/// Plans several nights.
///
/// The bound is the better of the prices' own and that of the first decision's integer program, later limits priced.
///
/// # Errors
/// [`PlanError::BadNumber`] for a problem that is not one; [`PlanError::Bug`] when an answer breaks a limit.
pub fn plan(
    problem: &Problem,
    settings: Settings,
    solver: &dyn Solver,
) -> Result<SeveralNights, PlanError> {
    problem.check()?;
    follow(problem, dual::search(problem, settings.steps), settings, solver)
}

/// The same for a problem that is nearly one whose prices are known.
///
/// # Errors
/// As [`plan`].
pub fn plan_near(
    problem: &Problem,
    near: &Prices,
    settings: Settings,
    solver: &dyn Solver,
) -> Result<SeveralNights, PlanError> {
    problem.check()?;
    follow(problem, dual::search_near(problem, settings.steps, near), settings, solver)
}

fn follow(
    problem: &Problem,
    dual: Dual,
    settings: Settings,
    solver: &dyn Solver,
) -> Result<SeveralNights, PlanError> {
    let states: Vec<usize> = problem.beds.iter().map(|b| b.start).collect();
    let first = repair::decide(problem, &dual, (0, 0), &states, solver)?;
    let later = dual.later(problem, 0, 0);
    let bound = dual.bound.max(first.bound - later);
    let how = (settings.most_courses, settings.drawn, settings.seed);
    let worth = rollout::follow(problem, &dual, solver, &first, how)?;
    Ok(SeveralNights { now: first.moves, worth, bound, dual })
}
