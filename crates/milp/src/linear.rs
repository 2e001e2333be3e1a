//! A linear program over real numbers that grows row by row, for column generation and cutting planes.

use microlp::{ComparisonOp, OptimizationDirection, Variable};

use crate::solver::SolveError;

/// Maximise objective · x over real numbers 0 ≤ x ≤ most under rows Σ terms ≤ right.
///
/// The solver gives no dual values: who wants those poses the dual program itself.
/// Checked by `linear::a_textbook_program`.
#[derive(Clone, Debug)]
pub struct LinearProgram {
    problem: microlp::Problem,
    variables: Vec<Variable>,
}

impl Default for LinearProgram {
    fn default() -> Self {
        let problem = microlp::Problem::new(OptimizationDirection::Maximize);
        Self { problem, variables: Vec::new() }
    }
}

impl LinearProgram {
    /// A new variable; `most` may be infinite. Its index counts from 0.
    pub fn var(&mut self, gain: f64, most: f64) -> usize {
        self.variables.push(self.problem.add_var(gain, (0.0, most)));
        self.variables.len() - 1
    }

    /// A new row Σ terms ≤ right.
    pub fn at_most(&mut self, terms: &[(usize, f64)], right: f64) {
        let terms = terms_of(&self.variables, terms);
        self.problem.add_constraint(&terms, ComparisonOp::Le, right);
    }

    /// The best values.
    ///
    /// # Errors
    /// [`SolveError`] when there are none, or no greatest.
    pub fn solve(self) -> Result<LinearSolution, SolveError> {
        let solution = finished(self.problem.solve())?;
        Ok(LinearSolution { solution, variables: self.variables })
    }
}

/// The best values of a linear program, to which rows can be added.
#[derive(Clone, Debug)]
pub struct LinearSolution {
    solution: microlp::Solution,
    variables: Vec<Variable>,
}

impl LinearSolution {
    /// Value of a variable.
    #[must_use]
    pub fn value(&self, variable: usize) -> f64 {
        self.solution.var_value(self.variables[variable])
    }

    /// Value of the objective.
    #[must_use]
    pub fn objective(&self) -> f64 {
        self.solution.objective()
    }

    /// The best values with one more row Σ terms ≤ right, found from these.
    ///
    /// Checked by `linear::a_row_added_later_counts_as_much`.
    ///
    /// # Errors
    /// [`SolveError`] when there are none any more.
    pub fn with_at_most(self, terms: &[(usize, f64)], right: f64) -> Result<Self, SolveError> {
        let terms = terms_of(&self.variables, terms);
        let solution = finished(self.solution.add_constraint(terms, ComparisonOp::Le, right))?;
        Ok(Self { solution, variables: self.variables })
    }
}

/// The solver's own names of the variables.
fn terms_of(variables: &[Variable], terms: &[(usize, f64)]) -> Vec<(Variable, f64)> {
    terms.iter().map(|(v, a)| (variables[*v], *a)).collect()
}

/// A solution, unless the solver failed or stopped early.
fn finished(
    outcome: Result<microlp::SolveOutcome, microlp::Error>,
) -> Result<microlp::Solution, SolveError> {
    let outcome = outcome.map_err(|e| SolveError(e.to_string()))?;
    outcome.into_solution().map_err(|_| SolveError::stopped())
}
