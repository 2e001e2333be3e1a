//! The lower bound by column generation: what each piece is worth (its dual value), and what no cut can undercut.
//!
//! The solver gives no dual values, so the dual itself is the program: maximise what the pieces are worth, such that no
//! pattern is worth more than its roll. Rows are patterns; those that are broken are found by the knapsack
//! (Gilmore and Gomory 1961, 1965) and added. Whatever the solver says, the bound is computed anew from the
//! knapsack's own values (Farley 1990), so no rounding in it can make the bound too high.

use crate::cut::dual::Dual;
use crate::cut::knapsack::{Item, most_valuable};
use crate::cut::problem::{Pattern, Problem, Roll, Strip};
use crate::cut::purchase::CapacityCut;

/// Dual values of pieces, with which no pattern is worth more than its roll.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LowerBound {
    /// Dual value of each piece: what one is worth.
    pub duals: Vec<f64>,
    /// No cut is cheaper.
    pub value: f64,
    /// Patterns met on the way.
    pub patterns: Vec<Pattern>,
    /// What every purchase must give.
    pub capacity_cuts: Vec<CapacityCut>,
}

/// The most valuable pattern of a roll.
pub struct Priced {
    /// The pattern.
    pub pattern: Pattern,
    /// No pattern of it is worth more.
    pub at_most: f64,
    /// For each class of strips, what no strip of it is worth more than.
    pub classes: Vec<f64>,
}

/// The pricing problem: the most valuable pattern of a roll for given duals, in two stages: the best strip of each length
/// across the roll, then the best strips along it.
///
/// V_h = max Σ y_i a_i over strips with pieces no longer than h; v = max Σ_h V_h n_h, Σ_h h n_h ≤ L.
/// Source: Gilmore and Gomory 1965. Checked by `cut::the_bound_holds`.
/// Equation 45 of docs/science.md.
pub fn pricing(problem: &Problem, roll: usize, duals: &[f64]) -> Priced {
    let classes = problem.classes(roll);
    let strips: Vec<(Strip, f64)> =
        classes.iter().map(|s| best_strip(problem, roll, s.along, duals)).collect();
    let items: Vec<Item> = classes
        .iter()
        .zip(&strips)
        .map(|(class, (_, value))| Item { size: class.along, value: *value, most: class.most })
        .collect();
    let found = most_valuable(&items, problem.rolls[roll].length);
    let chosen = strips.iter().zip(&found.counts);
    let strips_used = chosen.flat_map(|((s, _), n)| std::iter::repeat_n(s.clone(), *n as usize));
    Priced {
        pattern: Pattern { roll, strips: strips_used.collect() },
        at_most: found.at_most,
        classes: strips.iter().map(|(_, value)| *value).collect(),
    }
}

/// The most valuable strip with pieces no longer than `along`, and what no such strip is worth more than.
fn best_strip(problem: &Problem, roll: usize, along: u64, duals: &[f64]) -> (Strip, f64) {
    let (oriented, items) = across(problem, roll, along, duals);
    let found = most_valuable(&items, problem.rolls[roll].width);
    let chosen = oriented.iter().zip(&found.counts);
    let in_strip = chosen.flat_map(|(l, n)| std::iter::repeat_n(*l, *n as usize)).collect();
    (problem.strip(in_strip), found.at_most)
}

/// What can lie side by side in a strip: laid pieces, and the same as items.
pub fn across(
    problem: &Problem,
    roll: usize,
    along: u64,
    duals: &[f64],
) -> (Vec<usize>, Vec<Item>) {
    let fits = |l: &usize| problem.fits(*l, roll) && problem.oriented[*l].along <= along;
    let oriented: Vec<usize> = (0..problem.oriented.len()).filter(fits).collect();
    let item = |l: &usize| {
        let oriented = &problem.oriented[*l];
        Item {
            size: oriented.across,
            value: duals[oriented.piece],
            most: problem.counts[oriented.piece],
        }
    };
    let items = oriented.iter().map(item).collect();
    (oriented, items)
}

/// Rows added at most.
const MOST_ROUNDS: usize = 200;

/// The bound and the duals that give it; it stops early once `enough` is reached.
///
/// maximise Σ_i d_i y_i − Σ_r m_r w_r, Σ_i a_i y_i − w_r ≤ c_r for every pattern a of every roll r, y, w ≥ 0.
/// Checked by `cut::the_bound_holds`.
/// Equation 46 of docs/science.md.
pub fn lower_bound(
    problem: &Problem,
    start: &[Pattern],
    enough: impl Fn(f64) -> bool,
) -> LowerBound {
    let mut found = LowerBound { duals: vec![0.0; problem.counts.len()], ..LowerBound::default() };
    found.patterns = homogeneous_patterns(problem);
    found.patterns.extend_from_slice(start);
    found
        .capacity_cuts
        .push(capacity_cut(problem, &areas(problem), |r, y| pricing(problem, r, y).at_most));
    let mut dual = Dual::new(problem, &found.patterns);
    for _ in 0..MOST_ROUNDS {
        let Some((duals, of_roll)) = dual.values() else { break };
        let priced: Vec<Priced> =
            (0..problem.rolls.len()).map(|r| pricing(problem, r, &duals)).collect();
        let (value, scale) = farley_bound(problem, &duals, &priced);
        found.capacity_cuts.push(capacity_cut(problem, &duals, |r, _| priced[r].at_most));
        if value > found.value {
            found.value = value;
            found.duals = duals.iter().map(|y| y * scale).collect();
        }
        let patterns = priced.into_iter().zip(&of_roll).map(|(p, w)| (p.pattern, w));
        let broken = patterns.filter(|(pattern, w)| {
            let given = problem.given(std::slice::from_ref(pattern));
            let value: f64 = given.iter().zip(&duals).map(|(a, y)| f64::from(*a) * y).sum();
            value > problem.rolls[pattern.roll].cost * (1.0 + 1e-7) + **w
        });
        let broken: Vec<Pattern> = broken.map(|(pattern, _)| pattern).collect();
        if broken.is_empty() || enough(found.value) || !dual.add(problem, &broken) {
            break;
        }
        found.patterns.extend(broken);
    }
    found
}

/// What every purchase must give when pieces are worth this.
fn capacity_cut(
    problem: &Problem,
    duals: &[f64],
    most: impl Fn(usize, &[f64]) -> f64,
) -> CapacityCut {
    let all = duals.iter().zip(&problem.counts).map(|(y, d)| y * f64::from(*d)).sum();
    CapacityCut { all, gives: (0..problem.rolls.len()).map(|r| most(r, duals)).collect() }
}

/// The area of each piece, as a share of the largest roll.
fn areas(problem: &Problem) -> Vec<f64> {
    let largest =
        problem.rolls.iter().map(|r| r.width as f64 * r.length as f64).fold(1.0, f64::max);
    let mut areas = vec![0.0; problem.counts.len()];
    for oriented in &problem.oriented {
        areas[oriented.piece] = oriented.across as f64 * oriented.along as f64 / largest;
    }
    areas
}

/// For each piece and roll, the roll filled with that piece alone.
fn homogeneous_patterns(problem: &Problem) -> Vec<Pattern> {
    let mut patterns = Vec::new();
    for piece in 0..problem.counts.len() {
        let mut duals = vec![0.0; problem.counts.len()];
        duals[piece] = 1.0;
        let priced = (0..problem.rolls.len()).map(|r| pricing(problem, r, &duals).pattern);
        patterns.extend(priced.filter(|u| !u.strips.is_empty()));
    }
    patterns
}

/// The bound that any duals give, and what to scale them by so that no roll is worth less than a pattern of it.
///
/// s = min(1, c_r / v_r) over rolls without limit; bound = s Σ d y − Σ_r m_r max(0, s v_r − c_r) over the others.
/// Source: Farley 1990, from memory.
/// Equation 47 of docs/science.md.
fn farley_bound(problem: &Problem, duals: &[f64], priced: &[Priced]) -> (f64, f64) {
    let rolls = || problem.rolls.iter().zip(priced);
    let free = rolls().filter(|(r, p)| r.at_most.is_none() && p.at_most > r.cost);
    let scale = free.map(|(r, p)| r.cost / p.at_most).fold(1.0, f64::min);
    let wanted: f64 = duals.iter().zip(&problem.counts).map(|(y, d)| y * f64::from(*d)).sum();
    let beyond = |(r, (roll, p)): (usize, (&Roll, &Priced))| {
        let over = (scale * p.at_most - roll.cost).max(0.0);
        if roll.at_most.is_some() { f64::from(problem.most_rolls(r)) * over } else { 0.0 }
    };
    (scale * wanted - rolls().enumerate().map(beyond).sum::<f64>(), scale)
}
