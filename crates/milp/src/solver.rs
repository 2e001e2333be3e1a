//! What a solver does, so that another can be slotted in, and the one that comes with the program.

use microlp::{ComparisonOp, OptimizationDirection, SolutionStatus, SolveOptions};

use crate::model::{Model, Sense};

/// What a solver found.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// Value of each variable.
    pub counts: Vec<i32>,
    /// How much dearer than the best it can be, as a share of its cost; `None` when nothing is proven.
    pub gap: Option<f64>,
}

/// A solver failed; the message is for us.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{0}")]
pub struct SolveError(pub String);

impl SolveError {
    /// Nothing was found before the search ended.
    pub(crate) fn stopped() -> Self {
        Self("the solver stopped without a solution".into())
    }
}

/// Finds the best solution of a model; the same model gives the same answer.
pub trait Solver: Sync {
    /// The best solution, or a good one with its gap.
    ///
    /// # Errors
    /// [`SolveError`].
    fn solve(&self, model: &Model) -> Result<Answer, SolveError>;

    /// The same, ended as soon as the answer is at most `gap` dearer than the best, as a share of its cost.
    ///
    /// # Errors
    /// As [`Solver::solve`].
    fn solve_to(&self, model: &Model, gap: f64) -> Result<Answer, SolveError> {
        let _ = gap;
        self.solve(model)
    }
}

/// Branch and bound in pure Rust, stopped after a number of nodes so that it depends on no clock.
#[derive(Clone, Copy, Debug, Default)]
pub struct Microlp;

/// Nodes after which the search gives what it has: a dozen beds need some hundreds. Our choice.
const MOST_NODES: u64 = 2000;

/// Distance from a whole number that passes; so small that rounding cannot break a row of whole numbers.
const INTEGRAL: f64 = 1e-9;

impl Solver for Microlp {
    fn solve(&self, model: &Model) -> Result<Answer, SolveError> {
        self.solve_to(model, 0.0)
    }

    fn solve_to(&self, model: &Model, gap: f64) -> Result<Answer, SolveError> {
        let mut problem = microlp::Problem::new(OptimizationDirection::Minimize);
        let vars: Vec<_> = model
            .objective
            .iter()
            .zip(&model.most)
            .map(|(cost, most)| problem.add_integer_var(*cost, (0, *most)))
            .collect();
        for row in &model.rows {
            let terms: Vec<_> = row.terms.iter().map(|(v, a)| (vars[*v], *a)).collect();
            let op = match row.sense {
                Sense::Equal => ComparisonOp::Eq,
                Sense::AtMost => ComparisonOp::Le,
            };
            problem.add_constraint(&terms, op, row.right);
        }
        let mut options = SolveOptions::default();
        options.node_limit = Some(MOST_NODES);
        options.int_tol = INTEGRAL;
        options.mip_gap = gap.max(0.0);
        let solution = problem
            .solve_with(options)
            .map_err(|e| SolveError(e.to_string()))?
            .into_solution()
            .map_err(|_| SolveError::stopped())?;
        let best = solution.status() == SolutionStatus::Optimal;
        Ok(Answer {
            counts: vars.iter().map(|v| solution.var_value(*v).round() as i32).collect(),
            gap: if best { Some(0.0) } else { solution.gap() },
        })
    }
}
