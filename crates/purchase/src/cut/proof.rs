//! What a cut costs, and what is proven of it, from what the rolls count for.

use crate::cut::problem::Problem;
use crate::cut::purchase::{Purchase, purchases};
use crate::cut::solve::Found;

/// What is known of an answer: least cost when all prices are known, else least bought.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proof {
    /// What the rolls used cost, money; `None` when a price is missing or all are zero.
    pub cost: Option<f64>,
    /// Length (m) or area (m²) of the rolls used.
    pub bought: f64,
    /// No cut can do with less: in money when there is a cost, else as `bought`.
    pub at_least: f64,
    /// How much dearer than the best it can be, as a share of its own cost, [0, 1]; 0 is proven best.
    pub gap: f64,
}

/// What the rolls count for: their price when all prices are known and one is above zero, else their size.
///
/// A roll that costs nothing counts a thousandth of the cheapest of its size, so that it is not cut for nothing.
pub struct Costs {
    /// Cost of one of each kind.
    pub each: Vec<f64>,
    /// Prices, money; `None` when sizes count.
    prices: Option<Vec<f64>>,
    /// Sizes, m or m².
    sizes: Vec<f64>,
}

impl Costs {
    /// From prices and sizes (m or m²).
    pub fn new(prices: &[Option<f64>], sizes: Vec<f64>) -> Self {
        let known: Option<Vec<f64>> = prices.iter().copied().collect();
        let prices = known.filter(|p| p.iter().any(|price| *price > 0.0));
        let Some(known) = &prices else { return Self { each: sizes.clone(), prices, sizes } };
        let paid = known.iter().zip(&sizes).filter(|(p, _)| **p > 0.0);
        let cheapest = paid.map(|(p, s)| p / s).fold(f64::INFINITY, f64::min);
        let each = known.iter().zip(&sizes);
        let each = each.map(|(p, s)| if *p > 0.0 { *p } else { 1e-3 * cheapest * s }).collect();
        Self { each, prices, sizes }
    }

    /// The proof of a cut.
    pub fn proof(&self, problem: &Problem, found: &Found) -> Proof {
        let sum = |of: &[f64]| found.cut.iter().map(|u| of[u.roll]).sum::<f64>();
        let bought = sum(&self.sizes);
        let cost = self.prices.as_ref().map(|p| sum(p));
        let total = cost.unwrap_or(bought);
        let at_least = self
            .prices
            .as_ref()
            .map_or(found.at_least, |p| paid(problem, p, found.at_least, total));
        let gap = if total > 0.0 { ((total - at_least) / total).max(0.0) } else { 0.0 };
        let gap = if gap < 1e-9 { 0.0 } else { gap };
        Proof { cost, bought, at_least: if gap == 0.0 { total } else { at_least }, gap }
    }
}

/// A bound in money, from one in which rolls that cost nothing counted a little.
fn paid(problem: &Problem, prices: &[f64], at_least: f64, total: f64) -> f64 {
    let mut bought = problem.clone();
    let mut counted = 0.0;
    for (r, _) in prices.iter().enumerate().filter(|(_, p)| **p == 0.0) {
        counted += f64::from(problem.most_rolls(r)) * problem.rolls[r].cost;
        bought.rolls[r].at_most = Some(0);
    }
    if counted == 0.0 {
        return at_least;
    }
    let bound = (at_least - counted).max(0.0);
    let reachable = |p: &Purchase| p.cost >= bound - 1e-7 * bound;
    let least = purchases(&bought, total).and_then(|all| all.into_iter().find(reachable));
    least.map_or(bound, |p| p.cost)
}
