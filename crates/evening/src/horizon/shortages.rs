//! Which thing is short, and what one more of it would save.

use milp::Solver;

use crate::horizon::dual::Dual;
use crate::horizon::problem::{Part, Problem};
use crate::horizon::{Settings, SeveralNights, plan_near};
use crate::plan::PlanError;

/// Something that there could be more of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Thing {
    /// A stock line, at all times.
    Stock(usize),
    /// A person-second of every evening or of every morning.
    Second(Part),
}

/// What one more of a thing is worth at the prices.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shortage {
    /// The thing.
    pub thing: Thing,
    /// Money that one more would save at most, as far as the bound can tell; for small amounts.
    pub price: f64,
    /// So many more would make possible what nothing else could: a move that there is too little for even on one bed.
    pub frees_at: Option<u32>,
}

/// What more of a thing saves, found by planning again.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Saving {
    /// Cost before less cost with more, money; may be below nought by the gap.
    pub saved: f64,
    /// Standard error, money; nought when every course was followed.
    pub standard_error: f64,
    /// By how much the bound falls, money.
    pub bound_falls: f64,
}

/// Everything that has a price, or of which there is too little even for one bed; dearest first.
///
/// price of a unit = Σ_t Σ_n P(n) λ_t(n), money; the slope of the bound up to where more frees a move.
/// Checked by `horizon::one_more_saves_at_most_its_price_in_the_bound_and_nothing_when_not_short`.
/// Equation 76 of docs/science.md.
#[must_use]
pub fn short(problem: &Problem, dual: &Dual) -> Vec<Shortage> {
    let chances = problem.lattice.chances();
    let sum = |resource: usize, part: Option<Part>| -> f64 {
        let times = (0..problem.decisions.len())
            .filter(|t| part.is_none_or(|p| problem.decisions[*t].part == p));
        times
            .flat_map(|t| chances[t].iter().enumerate().map(move |(n, p)| (t, n, p)))
            .map(|(t, n, p)| p * dual.prices.price(t, n, resource))
            .sum()
    };
    let time = problem.available.len();
    let stock = (0..time).map(|l| (Thing::Stock(l), sum(l, None)));
    let seconds = [Part::Evening, Part::Morning].map(|p| (Thing::Second(p), sum(time, Some(p))));
    let mut all: Vec<Shortage> = stock
        .chain(seconds)
        .map(|(thing, price)| Shortage { thing, price, frees_at: frees_at(problem, thing) })
        .filter(|s| s.price > 0.0 || s.frees_at.is_some())
        .collect();
    all.sort_by(|a, b| b.price.total_cmp(&a.price));
    all
}

/// The least that there must be more of a thing for a move that does not fit even alone.
fn frees_at(problem: &Problem, thing: Thing) -> Option<u32> {
    let lacking = |wanted: u32, there: u32| wanted.checked_sub(there).filter(|l| *l > 0);
    match thing {
        Thing::Stock(line) => problem
            .beds
            .iter()
            .flat_map(|b| (0..b.holds.len()).map(move |s| b.held(s, line)))
            .filter_map(|wanted| lacking(wanted, problem.available[line]))
            .min(),
        Thing::Second(part) => problem
            .decisions
            .iter()
            .filter(|d| d.part == part)
            .flat_map(|d| problem.beds.iter().flat_map(|b| b.moves(part)).map(move |m| (m, d)))
            .filter_map(|(m, d)| lacking(m.seconds, d.seconds))
            .min(),
    }
}

/// The same nights with more of a thing.
#[must_use]
pub fn with_more(problem: &Problem, thing: Thing, amount: u32) -> Problem {
    let mut more = problem.clone();
    match thing {
        Thing::Stock(line) => {
            if let Some(there) = more.available.get_mut(line) {
                *there = there.saturating_add(amount);
            }
        }
        Thing::Second(part) => {
            for decision in more.decisions.iter_mut().filter(|d| d.part == part) {
                decision.seconds = decision.seconds.saturating_add(amount);
            }
        }
    }
    more
}

/// Plans again with more of a thing and compares; the same courses are drawn.
///
/// # Errors
/// As [`crate::horizon::plan`].
pub fn saving(
    problem: &Problem,
    before: &SeveralNights,
    (thing, amount): (Thing, u32),
    settings: Settings,
    solver: &dyn Solver,
) -> Result<Saving, PlanError> {
    let more = with_more(problem, thing, amount);
    let after = plan_near(&more, &before.dual.prices, settings, solver)?;
    Ok(Saving {
        saved: before.worth.cost - after.worth.cost,
        standard_error: before.worth.standard_error.hypot(after.worth.standard_error),
        bound_falls: before.bound - after.bound,
    })
}
