//! The best set to buy: what covers saved goes into the kit's program as worth, the evenings of the record as times.

use crate::sheet_value::one_bed::CoverUse;
use crate::sheet_value::shared_evenings::{BedSet, largest_sets, membership_bits};
use milp::Solver;
use purchase::kit::KitError;
use purchase::kit::Problem;
use purchase::kit::{Found, least_cost};

/// What one way to cover a bed did, year by year.
pub type UsesByYear = Vec<CoverUse>;

/// For each want of a question, for each of its ways, its years; every way with as many.
pub type Record = Vec<Vec<UsesByYear>>;

/// Mean of what a way saved a year, money.
#[must_use]
pub fn mean(years: &UsesByYear) -> f64 {
    years.iter().map(|u| u.saves).sum::<f64>() / years.len().max(1) as f64
}

/// The question with its worth and its times: maximise Σ v z − Σ price R/seasons.
///
/// v is what a way saved in a mean year; z whether its bed has it; R rolls. On every evening of the record the beds that
/// want a cover have its pieces, pins, clips and minutes: Σ_b pieces_b z_b ≤ owned. A bed's evenings are those on which any
/// of its ways that save was laid. Ways that save nothing are left out, and beds without any.
/// Checked by `sheet_value::the_program_is_the_best_of_every_set`.
/// Equation 60 of docs/science.md.
#[must_use]
pub fn question(problem: &Problem, record: &Record) -> Problem {
    let mut asked = Problem { wants: Vec::new(), ..problem.clone() };
    let mut wanted: Vec<Vec<(usize, usize)>> = Vec::new();
    for (want, ways) in problem.wants.iter().zip(record) {
        let saving: Vec<(usize, f64)> =
            ways.iter().map(mean).enumerate().filter(|w| w.1 > 0.0).collect();
        let most = saving.iter().map(|w| w.1).fold(0.0, f64::max);
        if most <= 0.0 {
            continue;
        }
        let mut new = want.clone();
        new.penalty = most;
        new.ways = saving
            .iter()
            .map(|(w, v)| {
                let mut way = want.ways[*w];
                way.handling_cost += most - v;
                way
            })
            .collect();
        asked.wants.push(new);
        let evening = |(y, u): (usize, &CoverUse)| -> Vec<(usize, usize)> {
            u.evenings.iter().map(|d| (y, *d)).collect()
        };
        let of_way = |w: &(usize, f64)| ways[w.0].iter().enumerate().flat_map(evening);
        wanted.push(saving.iter().flat_map(of_way).collect());
    }
    let sets = largest_sets(by_evening(&wanted).into_iter());
    for (w, want) in asked.wants.iter_mut().enumerate() {
        want.slots = membership_bits(&sets, w);
    }
    asked
}

/// The wants of each evening.
fn by_evening(wanted: &[Vec<(usize, usize)>]) -> Vec<BedSet> {
    let mut of: std::collections::BTreeMap<(usize, usize), BedSet> = Default::default();
    for (w, evenings) in wanted.iter().enumerate() {
        for evening in evenings {
            of.entry(*evening).or_default().insert(w);
        }
    }
    of.into_values().collect()
}

/// The best set within the budget, and the best use of the shed alone.
#[derive(Clone, Debug, PartialEq)]
pub struct Best {
    /// The question as it was asked.
    pub problem: Problem,
    /// What to own.
    pub found: Found,
    /// With nothing bought.
    pub shed: Found,
}

impl Best {
    /// What the set saves a year beyond the shed alone, less its cost a season, money.
    #[must_use]
    pub fn net(&self) -> f64 {
        self.shed.cost - self.found.cost
    }

    /// No set counted so comes to more.
    #[must_use]
    pub fn at_most(&self) -> f64 {
        self.shed.cost - self.found.at_least
    }
}

/// Asks the kit's program: within the budget, with no limit, and with nothing to spend.
///
/// What is best with no limit and keeps within the budget is best within it too; no set within it does better than with none.
///
/// # Errors
/// [`KitError`].
pub fn set(problem: Problem, solver: &dyn Solver) -> Result<Best, KitError> {
    let shed = least_cost(&Problem { budget: 0.0, ..problem.clone() }, solver)?;
    let free = least_cost(&Problem { budget: f64::INFINITY, ..problem.clone() }, solver)?;
    let mut found = least_cost(&problem, solver)?;
    let at_least = found.at_least.max(free.at_least);
    for other in [&free, &shed] {
        if other.paid <= problem.budget && other.cost < found.cost {
            found = other.clone();
        }
    }
    found.at_least = at_least.min(found.cost);
    Ok(Best { problem, found, shed })
}
