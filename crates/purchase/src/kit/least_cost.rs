//! Program and cut in turn: what the program counts by area is cut for real, and it learns what the cut must pay.

use crate::kit::capacity_cuts::capacity_cuts;
use crate::kit::error::KitError;
use crate::kit::feedback_cuts::{FeedbackCut, feedback_cut};
use crate::kit::found::{Found, SAME, priced};
use crate::kit::greedy::greedy_kit;
use crate::kit::problem::{Origin, Problem};
use crate::kit::program::Program;
use milp::Solver;

/// Times that the program is asked; each but the last teaches it something. Our choice.
const ROUNDS: usize = 12;

/// Times that the solver may stop before it has a proof: larger programs end no sooner.
const MOST_EARLY: u32 = 3;

/// The kit of least cost a season that is found, never dearer than the greedy one, with its bound.
///
/// Checked by `kit::every_small_kit`.
///
/// # Errors
/// [`KitError::Cut`] for rolls or sizes that are none; [`KitError::Bug`].
pub fn least_cost(problem: &Problem, solver: &dyn Solver) -> Result<Found, KitError> {
    let mut best = greedy_kit(problem, solver)?;
    let capacity = capacity_cuts(problem);
    let mut feedback: Vec<FeedbackCut> = Vec::new();
    let mut early = 0;
    for _ in 0..ROUNDS {
        let program = Program::new(problem, &capacity, &feedback);
        let Ok(answer) = solver.solve(&program.model) else { break };
        let costs = program.model.objective.iter().zip(&answer.counts);
        let value: f64 = costs.map(|(c, n)| c * f64::from(*n)).sum();
        let bound = answer.gap.map_or(0.0, |g| value * (1.0 - g));
        best.at_least = best.at_least.max(bound);
        let known = feedback.len();
        let choice = program.read(&answer.counts)?;
        let owned = problem.owned(&choice);
        for goods in 0..problem.goods.len() {
            let counted = program.paid(goods, &answer.counts);
            feedback.extend(feedback_cut(problem, &owned, goods, counted, solver)?);
        }
        if let Some(found) = priced(problem, choice, solver)?
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
        must(matches!(size.from, Origin::Stock(_)) || given >= *wanted, "a piece is not bought")?;
    }
    Ok(())
}
