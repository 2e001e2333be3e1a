//! The cut of least cost: first fit, the bound, a cut by worth, the integer program; each only if the one before left
//! something to gain.

use crate::cut::bound::{Bound, bound, price};
use crate::cut::columns::columns;
use crate::cut::first_fit;
use crate::cut::problem::{Problem, Used, totals};
use crate::cut::program::Program;
use crate::plan::Solver;

/// A cut, and what no cut can undercut.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// Rolls and their strips.
    pub cut: Vec<Used>,
    /// No cut is cheaper.
    pub at_least: f64,
}

/// There are not enough rolls.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shortage {
    /// First piece left over.
    pub piece: usize,
    /// How many of it.
    pub short: u32,
    /// Whether no cut can do it.
    pub proven: bool,
}

/// Difference that counts, as a share.
const SAME: f64 = 1e-7;

/// The best cut known so far.
struct Search<'a> {
    problem: &'a Problem,
    cut: Option<Vec<Used>>,
    cost: f64,
    totals: Option<Vec<f64>>,
}

impl Search<'_> {
    /// Keeps a cut if it gives all and is cheaper.
    fn offer(&mut self, cut: Vec<Used>) {
        let cost = self.problem.cost(&cut);
        if cost < self.cost && self.problem.meets(&cut) {
            self.totals = totals(self.problem, cost);
            (self.cut, self.cost) = (Some(cut), cost);
        }
    }

    /// The least total that whole rolls can cost and that is no less than a bound.
    fn rounded(&self, bound: f64) -> f64 {
        let reachable = |t: &&f64| **t >= bound - SAME * bound.abs();
        let least = self.totals.as_ref().and_then(|t| t.iter().find(reachable));
        least.copied().unwrap_or(bound).max(bound).min(self.cost)
    }

    /// Whether a bound proves the cut best.
    fn proven_by(&self, bound: f64) -> bool {
        self.cut.is_some() && self.rounded(bound) >= self.cost * (1.0 - SAME)
    }

    /// The dearest total that would be cheaper than the cut.
    fn target(&self) -> f64 {
        let below = self.cost * (1.0 - SAME);
        let cheaper = |t: &&f64| **t < below;
        let dearest = self.totals.as_ref().and_then(|t| t.iter().rev().find(cheaper));
        dearest.copied().unwrap_or(below)
    }
}

/// The cut of least cost that is found, never dearer than first fit, with its bound.
///
/// # Errors
/// [`Shortage`] when no cut is found that gives all pieces.
pub fn best(problem: &Problem, solver: &dyn Solver) -> Result<Found, Shortage> {
    let mut search = Search { problem, cut: None, cost: f64::INFINITY, totals: None };
    if let Some(cut) = first_fit::cut(problem) {
        search.offer(cut);
    }
    let start = search.cut.clone().unwrap_or_default();
    let bound = bound(problem, &start, |value| search.proven_by(value));
    if !search.proven_by(bound.value) {
        search.offer(by_worth(problem, &bound));
    }
    let mut at_least = search.rounded(bound.value);
    let mut short = Shortage { piece: 0, short: 0, proven: false };
    if !search.proven_by(bound.value) {
        let target = search.target();
        let columns = columns(problem, &bound, target, search.cut.as_deref().unwrap_or_default());
        let program = Program::of(problem, &columns, at_least, search.cut.is_none());
        if let Ok(answer) = solver.solve(&program.model) {
            let costs = program.model.objective.iter().zip(&answer.counts);
            let cost: f64 = costs.map(|(c, n)| c * f64::from(*n)).sum();
            let before = search.cost;
            let cut = problem.trimmed(program.read(problem, &columns, &answer.counts));
            short = shortage(problem, &cut, columns.complete && answer.gap == Some(0.0));
            search.offer(cut);
            // What is not among the columns costs more than the target, so no less than the cut before.
            let proven = answer.gap.filter(|_| columns.complete).map(|g| cost * (1.0 - g));
            at_least = search.rounded(at_least.max(proven.map_or(0.0, |p| p.min(before))));
        }
    }
    search.cut.map(|cut| Found { cut, at_least }).ok_or(short)
}

/// What a cut leaves over.
fn shortage(problem: &Problem, cut: &[Used], proven: bool) -> Shortage {
    let left: Vec<u32> =
        problem.given(cut).iter().zip(&problem.counts).map(|(g, c)| c.saturating_sub(*g)).collect();
    let piece = left.iter().position(|l| *l > 0).unwrap_or(0);
    Shortage { piece, short: left.get(piece).copied().unwrap_or(0), proven }
}

/// Roll after roll, the filling from what is left that is worth most for its cost.
fn by_worth(problem: &Problem, bound: &Bound) -> Vec<Used> {
    let mut left = problem.clone();
    let mut cut: Vec<Used> = Vec::new();
    while left.counts.iter().any(|c| *c > 0) {
        let free = |r: &usize| left.rolls[*r].at_most != Some(0);
        let filling = |r: usize| left.trimmed(vec![price(&left, r, &bound.worth).used]).pop();
        let worth = |used: &Used| {
            let given = left.given(std::slice::from_ref(used));
            let worth: f64 =
                given.iter().zip(&bound.worth).map(|(n, y)| f64::from(*n) * (y + 1e-9)).sum();
            worth / left.rolls[used.roll].cost
        };
        let fillings = (0..left.rolls.len()).filter(free).filter_map(filling);
        let Some(used) = fillings.max_by(|a, b| worth(a).total_cmp(&worth(b))) else { break };
        for (c, n) in left.counts.iter_mut().zip(problem.given(std::slice::from_ref(&used))) {
            *c = c.saturating_sub(n);
        }
        if let Some(n) = &mut left.rolls[used.roll].at_most {
            *n = n.saturating_sub(1);
        }
        cut.push(used);
    }
    problem.trimmed(cut)
}
