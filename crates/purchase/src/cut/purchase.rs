//! What can be bought: how many of each kind of roll, cheapest first, and what rules a purchase out.

use crate::cut::problem::Problem;

/// How many of each kind of roll.
#[derive(Clone, Debug, PartialEq)]
pub struct Purchase {
    /// What they cost.
    pub cost: f64,
    /// How many.
    pub counts: Vec<u32>,
}

/// A capacity cut, what every purchase must give: Σ_r n_r v_r ≥ Σ_i d_i y_i, where v_r is the most that a pattern of
/// roll r is worth.
///
/// Any dual values y ≥ 0 give such a row. Checked by `cut::the_bound_holds`.
#[derive(Clone, Debug, PartialEq)]
pub struct CapacityCut {
    /// What all pieces are worth together.
    pub all: f64,
    /// What each kind of roll gives at most.
    pub gives: Vec<f64>,
}

impl CapacityCut {
    /// Whether a purchase may be enough.
    pub fn allows(&self, purchase: &Purchase) -> bool {
        let given = self.gives.iter().zip(&purchase.counts);
        let given: f64 = given.map(|(v, n)| v * f64::from(*n)).sum();
        given >= self.all * (1.0 - 1e-7)
    }
}

/// Purchases listed at most: with more, going through them gains little.
const MOST: usize = 50_000;

/// Every purchase that costs no more than `up_to`, cheapest first; `None` when there are too many.
pub fn purchases(problem: &Problem, up_to: f64) -> Option<Vec<Purchase>> {
    let mut all = vec![Purchase { cost: 0.0, counts: Vec::new() }];
    for (r, roll) in problem.rolls.iter().enumerate() {
        let mut next = Vec::new();
        for base in &all {
            let room = (up_to * (1.0 + 1e-9) - base.cost) / roll.cost;
            let most = (room.floor().max(0.0) as usize).min(problem.most_rolls(r) as usize);
            if next.len() + most > MOST {
                return None;
            }
            for n in 0..=most as u32 {
                let counts = base.counts.iter().copied().chain([n]).collect();
                next.push(Purchase { cost: base.cost + f64::from(n) * roll.cost, counts });
            }
        }
        all = next;
    }
    all.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    Some(all)
}
