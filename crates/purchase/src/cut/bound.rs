//! The linear program over every possible filling: what each piece is worth, and what no cut can undercut.
//!
//! The solver gives no dual values, so the dual itself is the program: maximise what the pieces are worth, such that no
//! filling of a roll is worth more than the roll. Rows are fillings; those that are broken are found by the knapsack
//! (Gilmore and Gomory 1961, 1965) and added. Whatever the solver says, the bound is reckoned anew from the
//! knapsack's own values (Farley 1990), so no rounding in it can make the bound too high.

use microlp::{ComparisonOp, OptimizationDirection, Problem as Linear, Solution, Variable};

use crate::cut::knapsack::{Item, best};
use crate::cut::problem::{Problem, Roll, Strip, Used};
use crate::cut::purchase::Need;

/// Worths of pieces and rolls, with which no filling is worth more than its roll.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bound {
    /// Worth of one of each piece.
    pub worth: Vec<f64>,
    /// No cut is cheaper.
    pub value: f64,
    /// Fillings met on the way.
    pub fillings: Vec<Used>,
    /// What every purchase must give.
    pub needs: Vec<Need>,
}

/// The most valuable filling of a roll.
pub struct Priced {
    /// The filling.
    pub used: Used,
    /// No filling is worth more.
    pub at_most: f64,
    /// For each class of strips, what no strip of it is worth more than.
    pub slots: Vec<f64>,
}

/// The most valuable filling of a roll for given worths of pieces, in two stages: the best strip of each length across
/// the roll, then the best strips along it.
///
/// V_h = max Σ y_i a_i over strips with pieces no longer than h; v = max Σ_h V_h n_h, Σ_h h n_h ≤ L.
/// Source: Gilmore and Gomory 1965. Checked by `cut::the_bound_holds`.
/// Equation 45 of docs/science.md.
pub fn price(problem: &Problem, roll: usize, worth: &[f64]) -> Priced {
    let slots = problem.slots(roll);
    let strips: Vec<(Strip, f64)> =
        slots.iter().map(|s| best_strip(problem, roll, s.along, worth)).collect();
    let items: Vec<Item> = slots
        .iter()
        .zip(&strips)
        .map(|(slot, (_, value))| Item { size: slot.along, value: *value, most: slot.most })
        .collect();
    let found = best(&items, problem.rolls[roll].length);
    let chosen = strips.iter().zip(&found.counts);
    let strips_used = chosen.flat_map(|((s, _), n)| std::iter::repeat_n(s.clone(), *n as usize));
    Priced {
        used: Used { roll, strips: strips_used.collect() },
        at_most: found.at_most,
        slots: strips.iter().map(|(_, value)| *value).collect(),
    }
}

/// The most valuable strip with pieces no longer than `along`, and what no such strip is worth more than.
fn best_strip(problem: &Problem, roll: usize, along: u64, worth: &[f64]) -> (Strip, f64) {
    let (laid, items) = across(problem, roll, along, worth);
    let found = best(&items, problem.rolls[roll].width);
    let chosen = laid.iter().zip(&found.counts);
    let in_strip = chosen.flat_map(|(l, n)| std::iter::repeat_n(*l, *n as usize)).collect();
    (problem.strip(in_strip), found.at_most)
}

/// What can lie side by side in a strip: laid pieces, and the same as items.
pub fn across(
    problem: &Problem,
    roll: usize,
    along: u64,
    worth: &[f64],
) -> (Vec<usize>, Vec<Item>) {
    let fits = |l: &usize| problem.fits(*l, roll) && problem.laid[*l].along <= along;
    let laid: Vec<usize> = (0..problem.laid.len()).filter(fits).collect();
    let item = |l: &usize| {
        let laid = &problem.laid[*l];
        Item { size: laid.across, value: worth[laid.piece], most: problem.counts[laid.piece] }
    };
    let items = laid.iter().map(item).collect();
    (laid, items)
}

/// Rows added at most.
const MOST_ROUNDS: usize = 200;

/// The bound and the worths that give it; it stops early once `enough` is reached.
///
/// maximise Σ_i d_i y_i − Σ_r m_r w_r, Σ_i a_i y_i − w_r ≤ c_r for every filling a of every roll r, y, w ≥ 0.
/// Checked by `cut::the_bound_holds`.
/// Equation 46 of docs/science.md.
pub fn bound(problem: &Problem, start: &[Used], enough: impl Fn(f64) -> bool) -> Bound {
    let mut found = Bound { worth: vec![0.0; problem.counts.len()], ..Bound::default() };
    found.fillings = alone(problem);
    found.fillings.extend_from_slice(start);
    found.needs.push(need(problem, &areas(problem), |r, y| price(problem, r, y).at_most));
    let mut dual = Dual::of(problem, &found.fillings);
    for _ in 0..MOST_ROUNDS {
        let Some((worth, of_roll)) = dual.values() else { break };
        let priced: Vec<Priced> =
            (0..problem.rolls.len()).map(|r| price(problem, r, &worth)).collect();
        let (value, scale) = lower(problem, &worth, &priced);
        found.needs.push(need(problem, &worth, |r, _| priced[r].at_most));
        if value > found.value {
            found.value = value;
            found.worth = worth.iter().map(|y| y * scale).collect();
        }
        let used = priced.into_iter().zip(&of_roll).map(|(p, w)| (p.used, w));
        let broken = used.filter(|(used, w)| {
            let given = problem.given(std::slice::from_ref(used));
            let filling: f64 = given.iter().zip(&worth).map(|(a, y)| f64::from(*a) * y).sum();
            filling > problem.rolls[used.roll].cost * (1.0 + 1e-7) + **w
        });
        let broken: Vec<Used> = broken.map(|(used, _)| used).collect();
        if broken.is_empty() || enough(found.value) || !dual.add(problem, &broken) {
            break;
        }
        found.fillings.extend(broken);
    }
    found
}

/// What every purchase must give when pieces are worth this.
fn need(problem: &Problem, worth: &[f64], most: impl Fn(usize, &[f64]) -> f64) -> Need {
    let all = worth.iter().zip(&problem.counts).map(|(y, d)| y * f64::from(*d)).sum();
    Need { all, gives: (0..problem.rolls.len()).map(|r| most(r, worth)).collect() }
}

/// The area of each piece, as a share of the largest roll.
fn areas(problem: &Problem) -> Vec<f64> {
    let largest =
        problem.rolls.iter().map(|r| r.width as f64 * r.length as f64).fold(1.0, f64::max);
    let mut areas = vec![0.0; problem.counts.len()];
    for laid in &problem.laid {
        areas[laid.piece] = laid.across as f64 * laid.along as f64 / largest;
    }
    areas
}

/// For each piece and roll, the roll filled with that piece alone.
fn alone(problem: &Problem) -> Vec<Used> {
    let mut fillings = Vec::new();
    for piece in 0..problem.counts.len() {
        let mut worth = vec![0.0; problem.counts.len()];
        worth[piece] = 1.0;
        let priced = (0..problem.rolls.len()).map(|r| price(problem, r, &worth).used);
        fillings.extend(priced.filter(|u| !u.strips.is_empty()));
    }
    fillings
}

/// The bound that any worths give, and what to scale them by so that no roll is worth less than a filling of it.
///
/// s = min(1, c_r / v_r) over rolls without limit; bound = s Σ d y − Σ_r m_r max(0, s v_r − c_r) over the others.
/// Source: Farley 1990, from memory.
/// Equation 47 of docs/science.md.
fn lower(problem: &Problem, worth: &[f64], priced: &[Priced]) -> (f64, f64) {
    let rolls = || problem.rolls.iter().zip(priced);
    let free = rolls().filter(|(r, p)| r.at_most.is_none() && p.at_most > r.cost);
    let scale = free.map(|(r, p)| r.cost / p.at_most).fold(1.0, f64::min);
    let wanted: f64 = worth.iter().zip(&problem.counts).map(|(y, d)| y * f64::from(*d)).sum();
    let beyond = |(r, (roll, p)): (usize, (&Roll, &Priced))| {
        let over = (scale * p.at_most - roll.cost).max(0.0);
        if roll.at_most.is_some() { f64::from(problem.most_rolls(r)) * over } else { 0.0 }
    };
    (scale * wanted - rolls().enumerate().map(beyond).sum::<f64>(), scale)
}

/// The dual as the solver holds it.
struct Dual {
    solution: Option<Solution>,
    pieces: Vec<Variable>,
    rolls: Vec<Option<Variable>>,
}

impl Dual {
    /// The program with these fillings.
    fn of(problem: &Problem, fillings: &[Used]) -> Self {
        let mut linear = Linear::new(OptimizationDirection::Maximize);
        let most = shortage_cost(problem);
        let pieces: Vec<Variable> =
            problem.counts.iter().map(|d| linear.add_var(f64::from(*d), (0.0, most))).collect();
        let limited = |r: usize| problem.rolls[r].at_most.map(|_| problem.most_rolls(r));
        let rolls: Vec<Option<Variable>> = (0..problem.rolls.len())
            .map(|r| Some(linear.add_var(-f64::from(limited(r)?), (0.0, f64::INFINITY))))
            .collect();
        let mut dual = Self { solution: None, pieces, rolls };
        for used in fillings {
            linear.add_constraint(
                dual.row(problem, used),
                ComparisonOp::Le,
                problem.rolls[used.roll].cost,
            );
        }
        dual.solution = linear.solve().ok().and_then(|o| o.into_solution().ok());
        dual
    }

    /// Σ a y − w.
    fn row(&self, problem: &Problem, used: &Used) -> Vec<(Variable, f64)> {
        let given = problem.given(std::slice::from_ref(used));
        let pieces = self.pieces.iter().zip(given).filter(|(_, a)| *a > 0);
        let mut row: Vec<_> = pieces.map(|(y, a)| (*y, f64::from(a))).collect();
        row.extend(self.rolls[used.roll].map(|w| (w, -1.0)));
        row
    }

    /// Worths of pieces and rolls; `None` when the solver failed.
    fn values(&self) -> Option<(Vec<f64>, Vec<f64>)> {
        let solution = self.solution.as_ref()?;
        let value = |v: &Variable| solution.var_value(*v).max(0.0);
        let rolls = self.rolls.iter().map(|w| w.as_ref().map_or(0.0, value));
        Some((self.pieces.iter().map(value).collect(), rolls.collect()))
    }

    /// Adds rows; false when the solver failed.
    fn add(&mut self, problem: &Problem, fillings: &[Used]) -> bool {
        for used in fillings {
            let row = self.row(problem, used);
            let cost = problem.rolls[used.roll].cost;
            let next = self
                .solution
                .take()
                .and_then(|s| s.add_constraint(row, ComparisonOp::Le, cost).ok());
            self.solution = next.and_then(|o| o.into_solution().ok());
        }
        self.solution.is_some()
    }
}

/// What a piece left over costs: more than any cut.
pub fn shortage_cost(problem: &Problem) -> f64 {
    let dearest = problem.rolls.iter().map(|r| r.cost).fold(0.0, f64::max);
    dearest * (f64::from(problem.pieces()) + 1.0)
}
