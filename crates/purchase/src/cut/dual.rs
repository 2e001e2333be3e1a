//! The dual of the linear program over cutting patterns, as the solver holds it: a row for each pattern known.

use milp::{LinearProgram, LinearSolution};

use crate::cut::problem::{Pattern, Problem};

/// maximise Σ_i d_i y_i − Σ_r m_r w_r, Σ_i a_i y_i − w_r ≤ c_r for every pattern a of every roll r that is known.
pub struct Dual {
    /// `None` when the solver failed.
    solution: Option<LinearSolution>,
    variables: Variables,
}

/// Variables of pieces, and of the rolls of which there are only so many.
struct Variables {
    pieces: Vec<usize>,
    rolls: Vec<Option<usize>>,
}

impl Dual {
    /// The program with these patterns.
    pub fn new(problem: &Problem, patterns: &[Pattern]) -> Self {
        let mut program = LinearProgram::default();
        let most = problem.shortage_penalty();
        let pieces = problem.counts.iter().map(|d| program.var(f64::from(*d), most)).collect();
        let limited = |r: usize| problem.rolls[r].at_most.map(|_| problem.most_rolls(r));
        let rolls = (0..problem.rolls.len())
            .map(|r| Some(program.var(-f64::from(limited(r)?), f64::INFINITY)))
            .collect();
        let variables = Variables { pieces, rolls };
        for pattern in patterns {
            let row = variables.row(problem, pattern);
            program.at_most(&row, problem.rolls[pattern.roll].cost);
        }
        Self { solution: program.solve().ok(), variables }
    }

    /// Dual values of pieces and rolls; `None` when the solver failed.
    pub fn values(&self) -> Option<(Vec<f64>, Vec<f64>)> {
        let solution = self.solution.as_ref()?;
        let value = |v: &usize| solution.value(*v).max(0.0);
        let Variables { pieces, rolls } = &self.variables;
        let rolls = rolls.iter().map(|w| w.as_ref().map_or(0.0, value));
        Some((pieces.iter().map(value).collect(), rolls.collect()))
    }

    /// Adds rows; false when the solver failed.
    pub fn add(&mut self, problem: &Problem, patterns: &[Pattern]) -> bool {
        for pattern in patterns {
            let row = self.variables.row(problem, pattern);
            let cost = problem.rolls[pattern.roll].cost;
            self.solution = self.solution.take().and_then(|s| s.with_at_most(&row, cost).ok());
        }
        self.solution.is_some()
    }
}

impl Variables {
    /// Σ a y − w.
    fn row(&self, problem: &Problem, pattern: &Pattern) -> Vec<(usize, f64)> {
        let given = problem.given(std::slice::from_ref(pattern));
        let pieces = self.pieces.iter().zip(given).filter(|(_, a)| *a > 0);
        let mut row: Vec<_> = pieces.map(|(y, a)| (*y, f64::from(a))).collect();
        row.extend(self.rolls[pattern.roll].map(|w| (w, -1.0)));
        row
    }
}
