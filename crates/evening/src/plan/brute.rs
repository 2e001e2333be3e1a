//! Every plan there is, for small gardens: the oracle that the solver is tested against.

use crate::plan::problem::{Plan, Problem};

/// The cheapest feasible plan by trying all; the time grows as choices to the power of beds.
#[must_use]
pub fn best(problem: &Problem) -> Plan {
    let mut choice = vec![0; problem.beds.len()];
    let mut best = problem.plan_of(choice.clone(), Some(0.0));
    loop {
        if problem.feasible(&choice) {
            let plan = problem.plan_of(choice.clone(), Some(0.0));
            if plan.cost < best.cost {
                best = plan;
            }
        }
        let mut bed = 0;
        loop {
            if bed == choice.len() {
                return best;
            }
            choice[bed] += 1;
            if choice[bed] < problem.beds[bed].len() {
                break;
            }
            choice[bed] = 0;
            bed += 1;
        }
    }
}
