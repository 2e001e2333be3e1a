//! Program and cut in turn: what the program reckons by area is cut for real, and it learns what the cut must pay.

use crate::kit::buying::{Bought, buy};
use crate::kit::capacity_cuts::capacity_cuts;
use crate::kit::error::KitError;
use crate::kit::feedback_cuts::{self, FeedbackCut};
use crate::kit::greedy;
use crate::kit::problem::{Choice, From, Owned, Problem};
use crate::kit::program::Program;
use milp::Solver;

/// Times that the program is asked; each but the last teaches it something.
const ROUNDS: usize = 12;

/// Times that the solver may stop before it has a proof: larger programs end no sooner.
const MOST_EARLY: u32 = 3;

/// Relative difference that counts as none.
const SAME: f64 = 1e-9;

/// A kit, and how good it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// How each want is met.
    pub choice: Choice,
    /// What must be owned.
    pub owned: Owned,
    /// The rolls to buy.
    pub bought: Bought,
    /// Rolls, pins and clips, money in all.
    pub paid: f64,
    /// The same over the seasons that each thing lasts, money a season.
    pub a_season: f64,
    /// Cost a season with the worth of what is unmet, money.
    pub cost: f64,
    /// No kit can cost less a season.
    pub at_least: f64,
}

impl Found {
    /// How much dearer than the best it can be, as a share of its own cost, [0, 1]; 0 is proven best.
    #[must_use]
    pub fn gap(&self) -> f64 {
        let gap = if self.cost > 0.0 { (self.cost - self.at_least) / self.cost } else { 0.0 };
        if gap < SAME { 0.0 } else { gap.min(1.0) }
    }
}

/// A choice with its real rolls and costs; `None` where there are too few rolls or minutes.
///
/// # Errors
/// [`KitError::Cut`].
pub fn tried(
    problem: &Problem,
    choice: Choice,
    solver: &dyn Solver,
) -> Result<Option<Found>, KitError> {
    if !problem.in_time(&choice) {
        return Ok(None);
    }
    let owned = problem.owned(&choice);
    let Some(bought) = buy(problem, &owned, solver)? else { return Ok(None) };
    let mut paid = bought.paid(problem);
    let mut a_season = bought.a_season(problem);
    for (fixings, wanted) in [(problem.pins, owned.pins), (problem.clips, owned.clips)] {
        let price = f64::from(fixings.short(wanted)) * fixings.price;
        paid += price;
        a_season += price / fixings.seasons;
    }
    let cost = a_season + problem.unmet(&choice, &owned);
    Ok(Some(Found { choice, owned, bought, paid, a_season, cost, at_least: 0.0 }))
}

/// The kit of least cost a season that is found, never dearer than the greedy one, with its bound.
///
/// Checked by `kit::every_small_kit`.
///
/// # Errors
/// [`KitError::Cut`] for rolls or sizes that are none; [`KitError::Bug`].
pub fn best(problem: &Problem, solver: &dyn Solver) -> Result<Found, KitError> {
    let mut best = greedy::kit(problem, solver)?;
    let capacity = capacity_cuts(problem);
    let mut feedback: Vec<FeedbackCut> = Vec::new();
    let mut early = 0;
    for _ in 0..ROUNDS {
        let program = Program::of(problem, &capacity, &feedback);
        let Ok(answer) = solver.solve(&program.model) else { break };
        let costs = program.model.objective.iter().zip(&answer.counts);
        let value: f64 = costs.map(|(c, n)| c * f64::from(*n)).sum();
        let bound = answer.gap.map_or(0.0, |g| value * (1.0 - g));
        best.at_least = best.at_least.max(bound);
        let known = feedback.len();
        let choice = program.read(&answer.counts)?;
        let owned = problem.owned(&choice);
        for goods in 0..problem.goods.len() {
            let reckoned = program.paid(goods, &answer.counts);
            feedback.extend(feedback_cuts::cut_from(problem, &owned, goods, reckoned, solver)?);
        }
        if let Some(found) = tried(problem, choice, solver)?
            && found.paid <= problem.budget * (1.0 + SAME)
            && found.cost < best.cost
        {
            best = Found { at_least: best.at_least, ..found };
        }
        early += u32::from(answer.gap.is_none_or(|g| g > 1e-4));
        let done = best.cost <= best.at_least * (1.0 + SAME) || feedback.len() == known;
        if done || early == MOST_EARLY {
            break;
        }
    }
    best.at_least = best.at_least.min(best.cost);
    check(problem, &best)?;
    Ok(best)
}

/// Whether an answer keeps every rule.
fn check(problem: &Problem, found: &Found) -> Result<(), KitError> {
    let must = |holds: bool, what: &str| {
        if holds { Ok(()) } else { Err(KitError::Bug(what.to_owned())) }
    };
    must(found.paid <= problem.budget * (1.0 + SAME), "more is spent than there is")?;
    must(problem.in_stock(&found.owned), "more is used than lies in the shed")?;
    must(problem.in_time(&found.choice), "more is laid than there are minutes for")?;
    let mut given = vec![0; problem.sizes.len()];
    for (size, n) in found.bought.units.iter().flat_map(|u| &u.gives) {
        given[*size] += n;
    }
    let sizes = problem.sizes.iter().zip(&found.owned.pieces).zip(given);
    for ((size, wanted), given) in sizes {
        must(matches!(size.from, From::Stock(_)) || given >= *wanted, "a piece is not bought")?;
    }
    Ok(())
}
