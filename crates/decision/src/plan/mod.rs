//! The evening plan: for each bed one choice, so that expected loss and labour together are least.
//!
//! | module | holds |
//! |---|---|
//! | [`problem`] | choices, stock, minutes; costs; the check of every constraint |
//! | [`solver`] | a neutral mixed-integer model, the [`Solver`] trait, the microlp solver |
//! | [`greedy`] | the plan a hurried person makes: the rival and the fallback |
//! | [`brute`] | every plan there is: the oracle for small gardens |
//! | [`route`] | the order of work by urgency and walking |

pub mod brute;
pub mod greedy;
pub mod problem;
pub mod route;
pub mod solver;

pub use problem::{Choice, Plan, PlanError, Problem};
pub use solver::{Microlp, Solver};

/// The plan of least cost, proven or at least no worse than doing nothing and than greedy.
///
/// minimise Σ_b Σ_c (loss_bc + wage · minutes_bc) x_bc, Σ_c x_bc = 1, Σ uses x ≤ stock, Σ minutes x ≤ time.
/// Checked by `plan::the_solver_agrees_with_brute_force`.
///
/// # Errors
/// [`PlanError::BadNumber`] for a problem that is not one; [`PlanError::Bug`] when an answer breaks a constraint.
pub fn best(problem: &Problem, solver: &dyn Solver) -> Result<Plan, PlanError> {
    problem.check()?;
    let fallback = greedy::plan(problem);
    let mut plan = match solver.solve(&problem.model()) {
        Ok(x) => problem.plan_from(&x, true),
        Err(_) => fallback.clone(),
    };
    problem.verify(&plan)?;
    if fallback.cost < plan.cost - 1e-9 {
        plan = Plan { optimal: false, ..fallback };
    }
    Ok(plan)
}

/// The best plans with less time: for each number of person-minutes, the plan.
///
/// # Errors
/// As [`best`].
pub fn short_lists(
    problem: &Problem,
    solver: &dyn Solver,
    minutes: &[f64],
) -> Result<Vec<(f64, Plan)>, PlanError> {
    let full = best(problem, solver)?;
    minutes
        .iter()
        .filter(|m| **m < full.minutes)
        .map(|m| Ok((*m, best(&Problem { minutes: *m, ..problem.clone() }, solver)?)))
        .collect()
}
