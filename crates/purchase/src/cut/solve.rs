//! The cut of least cost: first fit, the bound, a cut by dual value, the integer program; each only if the one before left
//! something to gain.

use crate::cut::columns::columns;
use crate::cut::first_fit::first_fit_decreasing;
use crate::cut::lower_bound::{LowerBound, lower_bound, pricing};
use crate::cut::problem::{Pattern, Problem};
use crate::cut::program::Program;
use crate::cut::purchase::{CapacityCut, Purchase, purchases};
use milp::Solver;

/// A cut, and what no cut can undercut.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// Rolls and their strips.
    pub cut: Vec<Pattern>,
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

/// The best cut known so far, and what could be bought instead.
struct Search<'a> {
    problem: &'a Problem,
    cut: Option<Vec<Pattern>>,
    cost: f64,
    purchases: Option<Vec<Purchase>>,
}

impl Search<'_> {
    /// Keeps a cut if it gives all and is cheaper.
    fn offer(&mut self, cut: Vec<Pattern>) {
        let cost = self.problem.cost(&cut);
        if cost < self.cost && self.problem.meets(&cut) {
            if self.cut.is_none() {
                self.purchases = purchases(self.problem, cost);
            }
            (self.cut, self.cost) = (Some(cut), cost);
        }
    }

    /// Forgets purchases that cannot be enough.
    fn rule_out(&mut self, cuts: &[CapacityCut]) {
        if let Some(purchases) = &mut self.purchases {
            purchases.retain(|p| cuts.iter().rev().all(|cut| cut.allows(p)));
        }
    }

    /// Purchases that cost at least a bound and less than the cut, cheapest first.
    fn between(&self, bound: f64) -> impl DoubleEndedIterator<Item = &Purchase> {
        let (low, high) = (bound * (1.0 - SAME), self.cost * (1.0 - SAME));
        let inside = move |p: &&Purchase| p.cost >= low && p.cost < high;
        self.purchases.iter().flatten().filter(inside)
    }

    /// What no purchase undercuts, given a bound.
    fn rounded(&self, bound: f64) -> f64 {
        let least = self.between(bound).next().map_or(self.cost, |p| p.cost);
        if self.purchases.is_some() { least.max(bound) } else { bound }.min(self.cost)
    }

    /// Whether a bound proves the cut best.
    fn proven_by(&self, bound: f64) -> bool {
        self.cut.is_some() && self.rounded(bound) >= self.cost * (1.0 - SAME)
    }

    /// The dearest that would be cheaper than the cut.
    fn target(&self) -> f64 {
        self.between(0.0).next_back().map_or(self.cost * (1.0 - SAME), |p| p.cost)
    }

    /// Tries to fill purchases by dual value, cheapest first, until one is enough; the patterns met on the way.
    fn try_purchases(&mut self, bound: &LowerBound) -> Vec<Pattern> {
        let purchases: Vec<Purchase> = self.between(bound.value).cloned().collect();
        let mut patterns = Vec::new();
        for purchase in purchases {
            for tilt in TILTS {
                let duals = tilted_duals(self.problem, bound, tilt);
                let cut = greedy_by_duals(self.problem, &purchase.counts, &duals);
                patterns.extend_from_slice(&cut);
                self.offer(cut);
                if self.cost <= purchase.cost * (1.0 + SAME) || patterns.len() > MOST_PATTERNS {
                    return patterns;
                }
            }
        }
        patterns
    }
}

/// Rolls filled by dual value at most, over all purchases.
const MOST_PATTERNS: usize = 600;

/// How much dearer large pieces are counted, so that they are not left to the last. Our choice.
const TILTS: [f64; 4] = [0.0, 0.003, 0.03, 0.15];

/// Worths with large pieces counted dearer.
fn tilted_duals(problem: &Problem, bound: &LowerBound, tilt: f64) -> Vec<f64> {
    let dearest = bound.duals.iter().copied().fold(0.0, f64::max).max(f64::MIN_POSITIVE);
    let least = 1e-9 * problem.rolls.iter().map(|r| r.cost).fold(0.0, f64::max);
    bound.duals.iter().map(|y| (y * (1.0 + tilt * y / dearest)).max(least)).collect()
}

/// The cut of least cost that is found, never dearer than first fit, with its bound.
///
/// # Errors
/// [`Shortage`] when no cut is found that gives all pieces.
pub fn solve(problem: &Problem, solver: &dyn Solver) -> Result<Found, Shortage> {
    let mut search = Search { problem, cut: None, cost: f64::INFINITY, purchases: None };
    if let Some(cut) = first_fit_decreasing(problem) {
        search.offer(cut);
    }
    let start = search.cut.clone().unwrap_or_default();
    let mut bound = lower_bound(problem, &start, |value| search.proven_by(value));
    if !search.proven_by(bound.value) {
        let unlimited: Vec<u32> = (0..problem.rolls.len()).map(|r| problem.most_rolls(r)).collect();
        search.offer(greedy_by_duals(problem, &unlimited, &tilted_duals(problem, &bound, 0.0)));
        search.rule_out(&bound.capacity_cuts);
        let patterns = search.try_purchases(&bound);
        bound.patterns.extend(patterns);
    }
    let mut at_least = search.rounded(bound.value);
    let mut short = Shortage { piece: 0, short: 0, proven: false };
    if !search.proven_by(bound.value) {
        let target = search.target();
        let columns = columns(problem, &bound, target, search.cut.as_deref().unwrap_or_default());
        let program = Program::new(problem, &columns, at_least, search.cut.is_none());
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
fn shortage(problem: &Problem, cut: &[Pattern], proven: bool) -> Shortage {
    let left: Vec<u32> =
        problem.given(cut).iter().zip(&problem.counts).map(|(g, c)| c.saturating_sub(*g)).collect();
    let piece = left.iter().position(|l| *l > 0).unwrap_or(0);
    Shortage { piece, short: left.get(piece).copied().unwrap_or(0), proven }
}

/// Roll after roll, the pattern from what is left that is worth most for its cost, with so many of each kind of roll.
fn greedy_by_duals(problem: &Problem, rolls: &[u32], duals: &[f64]) -> Vec<Pattern> {
    let mut left = problem.clone();
    left.rolls.iter_mut().zip(rolls).for_each(|(r, n)| r.at_most = Some(*n));
    let mut cut: Vec<Pattern> = Vec::new();
    while left.counts.iter().any(|c| *c > 0) {
        let there = |r: &usize| left.rolls[*r].at_most != Some(0);
        let pattern = |r: usize| left.trimmed(vec![filled(&left, r, duals)]).pop();
        let gain = |pattern: &Pattern| {
            let given = left.given(std::slice::from_ref(pattern));
            let given: f64 = given.iter().zip(duals).map(|(n, y)| f64::from(*n) * y).sum();
            given / left.rolls[pattern.roll].cost
        };
        let patterns = (0..left.rolls.len()).filter(there).filter_map(pattern);
        let Some(pattern) = patterns.max_by(|a, b| gain(a).total_cmp(&gain(b))) else { break };
        for (c, n) in left.counts.iter_mut().zip(problem.given(std::slice::from_ref(&pattern))) {
            *c = c.saturating_sub(n);
        }
        if let Some(n) = &mut left.rolls[pattern.roll].at_most {
            *n = n.saturating_sub(1);
        }
        cut.push(pattern);
    }
    problem.trimmed(cut)
}

/// One roll filled from what is left; what a strip used up leaves room for other strips, so again until nothing fits.
fn filled(problem: &Problem, roll: usize, duals: &[f64]) -> Pattern {
    let mut left = problem.clone();
    let mut pattern = Pattern { roll, strips: Vec::new() };
    while let Some(more) = left.kept(vec![pricing(&left, roll, duals).pattern]).pop() {
        for (c, n) in left.counts.iter_mut().zip(problem.given(std::slice::from_ref(&more))) {
            *c = c.saturating_sub(n);
        }
        left.rolls[roll].length -= more.strips.iter().map(|s| s.along).sum::<u64>();
        pattern.strips.extend(more.strips);
    }
    pattern
}
