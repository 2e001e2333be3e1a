//! A neutral 0/1 model, so that another solver can be slotted in, and the one that comes with the program.

use microlp::{ComparisonOp, OptimizationDirection};

/// How a row compares.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// = right.
    Equal,
    /// ≤ right.
    AtMost,
}

/// One constraint.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Variable and coefficient.
    pub terms: Vec<(usize, f64)>,
    /// How it compares.
    pub sense: Sense,
    /// Right-hand side.
    pub right: f64,
}

/// Minimise objective · x over 0/1 variables under rows.
#[derive(Clone, Debug, PartialEq)]
pub struct Model {
    /// Cost of each variable.
    pub objective: Vec<f64>,
    /// Constraints.
    pub rows: Vec<Row>,
    /// Bed and choice each variable stands for.
    pub of: Vec<(usize, usize)>,
}

/// A solver failed; the message is for us.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{0}")]
pub struct SolveError(pub String);

/// Finds the best 0/1 solution of a model.
pub trait Solver: Sync {
    /// Bed and choice of every variable that is 1.
    ///
    /// # Errors
    /// [`SolveError`].
    fn solve(&self, model: &Model) -> Result<Vec<(usize, usize)>, SolveError>;
}

/// Branch and bound in pure Rust.
#[derive(Clone, Copy, Debug, Default)]
pub struct Microlp;

impl Solver for Microlp {
    fn solve(&self, model: &Model) -> Result<Vec<(usize, usize)>, SolveError> {
        let mut problem = microlp::Problem::new(OptimizationDirection::Minimize);
        let vars: Vec<_> =
            model.objective.iter().map(|c| problem.add_integer_var(*c, (0, 1))).collect();
        for row in &model.rows {
            let terms: Vec<_> = row.terms.iter().map(|(v, a)| (vars[*v], *a)).collect();
            let op = match row.sense {
                Sense::Equal => ComparisonOp::Eq,
                Sense::AtMost => ComparisonOp::Le,
            };
            problem.add_constraint(&terms, op, row.right);
        }
        let failed = |e: microlp::Error| SolveError(e.to_string());
        let outcome = problem.solve().map_err(failed)?;
        let solution = outcome
            .into_solution()
            .map_err(|_| SolveError("the solver stopped without a solution".into()))?;
        Ok(vars
            .iter()
            .zip(&model.of)
            .filter(|(v, _)| solution.var_value(**v) > 0.5)
            .map(|(_, bc)| *bc)
            .collect())
    }
}
