//! A plan that is not proven, made better by changing one bed, or two together, while that saves.

use crate::plan::problem::Problem;

/// Passes over all pairs of beds after which it stops, so that a large garden does not wait.
const PASSES: usize = 20;

/// Choices that no change of one bed or of two together makes cheaper; `choice` must be feasible.
///
/// Two beds together can swap a sheet, or give one bed's minutes to another.
#[must_use]
pub fn improve(problem: &Problem, mut choice: Vec<usize>) -> Vec<usize> {
    for _ in 0..PASSES {
        let mut better = false;
        for a in 0..choice.len() {
            for b in a..choice.len() {
                better |= improve_pair(problem, &mut choice, a, b);
            }
        }
        if !better {
            break;
        }
    }
    choice
}

/// The best choices for two beds, the others left alone; with `a == b`, for one.
fn improve_pair(problem: &Problem, choice: &mut [usize], a: usize, b: usize) -> bool {
    let cost = |(x, y): (usize, usize)| {
        problem.cost(&problem.beds[a][x]) + problem.cost(&problem.beds[b][y])
    };
    let before = (choice[a], choice[b]);
    let mut best = before;
    for x in 0..problem.beds[a].len() {
        for y in 0..problem.beds[b].len() {
            if (a == b && x != y) || cost((x, y)) >= cost(best) - 1e-9 {
                continue;
            }
            (choice[a], choice[b]) = (x, y);
            if problem.feasible(choice) {
                best = (x, y);
            }
        }
    }
    (choice[a], choice[b]) = best;
    best != before
}
