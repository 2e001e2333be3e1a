//! The evening plan: for each bed one choice, so that expected loss and labour together are least.
//!
//! | module | holds |
//! |---|---|
//! | [`problem`] | choices, stock, minutes; costs; the check of every constraint |
//! | [`stock`] | the garden's stock and a cover's work as the planner counts them |
//! | [`program`] | the problem as an integer program |
//! | [`greedy`] | the plan a hurried person makes: the rival and the fallback |
//! | [`local`] | plans that are not proven, made better |
//! | [`brute`] | every plan there is: the oracle for small gardens |
//! | [`route`] | the order of work by urgency and walking |

pub mod brute;
pub mod greedy;
pub mod local;
pub mod problem;
pub mod program;
pub mod route;
pub mod stock;

use milp::Solver;

pub use problem::{Choice, Plan, PlanError, Problem};
pub use program::Program;

/// The plan of least cost, proven or at least no worse than doing nothing and than greedy.
///
/// minimise Σ_b Σ_c (loss_bc + wage · time_bc) x_bc, Σ_c x_bc = 1, Σ uses x ≤ stock, Σ time x ≤ time before dark.
/// Checked by `plan::the_solver_agrees_with_brute_force`.
///
/// # Errors
/// [`PlanError::BadNumber`] for a problem that is not one; [`PlanError::Bug`] when an answer breaks a constraint.
pub fn best(problem: &Problem, solver: &dyn Solver) -> Result<Plan, PlanError> {
    best_within(problem, solver, None)
}

/// As [`best`]; an answer whose proven gap is at most `good_enough` is taken as it is, where that is given.
///
/// # Errors
/// As [`best`].
pub fn best_within(
    problem: &Problem,
    solver: &dyn Solver,
    good_enough: Option<f64>,
) -> Result<Plan, PlanError> {
    best_of(problem, solver, good_enough, 0.0)
}

/// As [`best`], but no longer looked for once it is at most `gap` dearer than the best, as a share of its cost.
///
/// # Errors
/// As [`best`].
pub fn about_best(problem: &Problem, solver: &dyn Solver, gap: f64) -> Result<Plan, PlanError> {
    best_of(problem, solver, Some(gap), gap)
}

fn best_of(
    problem: &Problem,
    solver: &dyn Solver,
    good_enough: Option<f64>,
    stop_at: f64,
) -> Result<Plan, PlanError> {
    problem.check()?;
    let program = Program::from_problem(problem);
    let solved = solver.solve_to(&program.model, stop_at);
    if let (Ok(answer), Some(enough)) = (&solved, good_enough)
        && answer.gap.is_some_and(|g| g <= enough)
    {
        let plan = problem.plan_of(program.read(problem.beds.len(), &answer.counts)?, answer.gap);
        problem.verify(&plan)?;
        return Ok(plan);
    }
    let hurried = greedy::plan(problem);
    let (start, gap) = match solved {
        Ok(answer) => (program.read(problem.beds.len(), &answer.counts)?, answer.gap),
        Err(_) => (hurried.choice.clone(), None),
    };
    let found = problem.plan_of(start, gap);
    problem.verify(&found)?;
    if gap == Some(0.0) && found.cost <= hurried.cost + 1e-9 * hurried.cost.max(1.0) {
        return Ok(found);
    }
    // Not proven: polished, and its gap taken from the bound that the solver reached.
    let bound = gap.map(|g| found.cost * (1.0 - g));
    let start = if hurried.cost < found.cost { hurried.choice } else { found.choice };
    let polished = problem.plan_of(local::improve(problem, start), None);
    let gap = bound.map(|b| ((polished.cost - b) / polished.cost).max(0.0));
    let plan = Plan { gap: gap.filter(|g| *g > 0.0), ..polished };
    problem.verify(&plan)?;
    Ok(plan)
}

/// The best plans with less time: for each number of person-seconds that is too short for the full plan, the plan.
///
/// # Errors
/// As [`best`].
pub fn short_lists(
    problem: &Problem,
    solver: &dyn Solver,
    full: &Plan,
    seconds: &[u32],
) -> Result<Vec<(u32, Plan)>, PlanError> {
    seconds
        .iter()
        .filter(|s| u64::from(**s) < full.seconds)
        .map(|s| Ok((*s, best(&Problem { seconds: *s, ..problem.clone() }, solver)?)))
        .collect()
}
