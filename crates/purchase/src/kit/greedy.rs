//! The kit a hurried person buys: want by want, dearest first, what lies in the shed, else the least new cloth.

use crate::kit::error::KitError;
use crate::kit::found::{Found, priced};
use crate::kit::problem::{Choice, Origin, Problem, Way};
use milp::Solver;

/// The kit; at worst nothing is bought.
///
/// # Errors
/// As [`priced`].
pub fn greedy_kit(problem: &Problem, solver: &dyn Solver) -> Result<Found, KitError> {
    let mut choice: Choice = vec![None; problem.wants.len()];
    let mut best = nothing(problem, choice.clone(), solver)?;
    let mut order: Vec<usize> = (0..choice.len()).collect();
    let penalty = |w: &usize| problem.wants[*w].penalty;
    order.sort_by(|a, b| penalty(b).total_cmp(&penalty(a)));
    for want in order {
        let ways = &problem.wants[want].ways;
        let mut by_cost: Vec<usize> = (0..ways.len()).collect();
        by_cost.sort_by(|a, b| cost(problem, &ways[*a]).total_cmp(&cost(problem, &ways[*b])));
        for way in by_cost.into_iter().take(TRIES) {
            choice[want] = Some(way);
            if problem.in_stock(&problem.owned(&choice))
                && let Some(found) = priced(problem, choice.clone(), solver)?
                && found.paid <= problem.budget
                && found.cost <= best.cost
            {
                best = found;
                break;
            }
            choice[want] = None;
        }
    }
    Ok(best)
}

/// Ways of a want that are tried. Our choice.
const TRIES: usize = 4;

/// Nothing bought, nothing covered.
fn nothing(problem: &Problem, choice: Choice, solver: &dyn Solver) -> Result<Found, KitError> {
    let found = priced(problem, choice, solver)?;
    found.ok_or_else(|| KitError::Bug("nothing needs rolls".into()))
}

/// Money a season for the cloth of a way by its area.
fn cost(problem: &Problem, way: &Way) -> f64 {
    let size = &problem.sizes[way.size];
    let Origin::Goods(goods) = size.from else { return way.handling_cost };
    let rolls = problem.rolls.iter().filter(|r| r.goods == goods);
    let dearness = rolls.map(|r| r.price / (r.width_m * r.length_m)).fold(f64::INFINITY, f64::min);
    let area_m2 = f64::from(way.pieces) * size.width_m * size.length_m;
    way.handling_cost + area_m2 * dearness / problem.goods[goods].seasons
}
