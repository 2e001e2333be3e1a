//! The plan a hurried person makes: again and again the change that saves most.

use crate::plan::problem::{Plan, Problem};

/// From doing nothing, the single change that saves most money and still fits, until none saves.
#[must_use]
pub fn plan(problem: &Problem) -> Plan {
    let mut choice = vec![0; problem.beds.len()];
    loop {
        let mut best: Option<(f64, usize, usize)> = None;
        for (b, choices) in problem.beds.iter().enumerate() {
            let now = choice[b];
            for (c, option) in choices.iter().enumerate() {
                let saves = problem.cost(&choices[now]) - problem.cost(option);
                if saves <= 1e-9 || best.is_some_and(|s| saves <= s.0) {
                    continue;
                }
                choice[b] = c;
                if problem.feasible(&choice) {
                    best = Some((saves, b, c));
                }
                choice[b] = now;
            }
        }
        match best {
            Some((_, b, c)) => choice[b] = c,
            None => return problem.plan_of(choice, None),
        }
    }
}

/// Doing nothing.
#[must_use]
pub fn nothing(problem: &Problem) -> Plan {
    problem.plan_of(vec![0; problem.beds.len()], None)
}
