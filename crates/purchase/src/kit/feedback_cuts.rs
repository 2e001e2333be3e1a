//! Feedback cuts, in the way of logic-based Benders cuts: what a real cut teaches the program. So many pieces, and
//! whatever can be trimmed to them, take so many rolls.

use crate::cut::CutError;
use crate::kit::buying::rolls_of;
use crate::kit::problem::{Origin, Owned, Problem, Size};
use milp::Solver;

/// Whoever owns at least these pieces pays at least so much for their cloth or wire.
#[derive(Clone, Debug, PartialEq)]
pub struct FeedbackCut {
    /// Which cloth or wire.
    pub goods: usize,
    /// Sizes that can be trimmed to one of the pieces, no size twice, and how many of them together.
    pub pieces: Vec<(Vec<usize>, u32)>,
    /// What their rolls cost at least; infinite where there are too few.
    pub at_least: f64,
}

/// The row from a cut that must pay more than the program counted, with as few pieces as pay as much; `None` when it
/// pays no more. Checked by `kit::every_small_kit`.
/// Equation 62 of docs/science.md.
///
/// # Errors
/// [`CutError`] other than too few rolls.
pub fn feedback_cut(
    problem: &Problem,
    owned: &Owned,
    goods: usize,
    counted: f64,
    solver: &dyn Solver,
) -> Result<Option<FeedbackCut>, CutError> {
    let at_least = least(problem, owned, goods, solver)?;
    if at_least <= counted + 1e-7 * at_least.max(1.0) || at_least == 0.0 {
        return Ok(None);
    }
    let mut fewest = owned.clone();
    let area = |s: &usize| problem.sizes[*s].width_m * problem.sizes[*s].length_m;
    let mut sizes: Vec<usize> = (0..problem.sizes.len())
        .filter(|s| problem.sizes[*s].from == Origin::Goods(goods) && owned.pieces[*s] > 0)
        .collect();
    sizes.sort_by(|a, b| area(a).total_cmp(&area(b)));
    for s in sizes.iter().copied() {
        while fewest.pieces[s] > 0 {
            fewest.pieces[s] -= 1;
            if least(problem, &fewest, goods, solver)? < at_least * (1.0 - 1e-9) {
                fewest.pieces[s] += 1;
                break;
            }
        }
    }
    sizes.retain(|s| fewest.pieces[*s] > 0);
    sizes.reverse();
    let pieces = trimmed(problem, &sizes).into_iter().zip(&sizes);
    let pieces = pieces.map(|(from, s)| (from, fewest.pieces[*s])).collect();
    Ok(Some(FeedbackCut { goods, pieces, at_least }))
}

/// The least that any cut of these pieces pays; infinite where there are certainly too few rolls.
fn least(
    problem: &Problem,
    owned: &Owned,
    goods: usize,
    solver: &dyn Solver,
) -> Result<f64, CutError> {
    match rolls_of(problem, owned, goods, solver) {
        Ok((_, at_least)) => Ok(at_least),
        Err(CutError::NotEnoughRolls { proven, .. }) => {
            Ok(if proven { f64::INFINITY } else { 0.0 })
        }
        Err(e) => Err(e),
    }
}

/// For each of the sizes, largest first, those that can be trimmed to it and to none before it.
fn trimmed(problem: &Problem, sizes: &[usize]) -> Vec<Vec<usize>> {
    let mut from: Vec<Vec<usize>> = sizes.iter().map(|s| vec![*s]).collect();
    for (t, size) in problem.sizes.iter().enumerate().filter(|(t, _)| !sizes.contains(t)) {
        let to = |s: &usize| trims(size, &problem.sizes[*s]);
        if let Some(k) = sizes.iter().position(to) {
            from[k].push(t);
        }
    }
    from
}

/// Whether a piece can be trimmed to another, turned or not.
fn trims(from: &Size, to: &Size) -> bool {
    let over = |w: f64, l: f64| from.width_m >= w && from.length_m >= l;
    from.from == to.from && (over(to.width_m, to.length_m) || over(to.length_m, to.width_m))
}
