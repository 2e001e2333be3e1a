//! The cut a careful person makes: longest pieces first, each into the first place where it fits.

use crate::cut::problem::{Pattern, Problem};

/// The cheapest of first-fit-decreasing cuts: with each kind of roll taken first, and pieces laid long, short or as
/// wide as they can be. `None` when all of them run out of rolls.
///
/// In one dimension with one kind of roll: rolls ≤ 11/9 · best + 6/9 (Dósa 2007, from memory).
/// Checked by `cut::first_fit_keeps_its_promise`.
/// Equation 48 of docs/science.md.
pub fn first_fit_decreasing(problem: &Problem) -> Option<Vec<Pattern>> {
    let mut best: Option<Vec<Pattern>> = None;
    for first in 0..problem.rolls.len() {
        for way in [Way::Long, Way::Short, Way::Wide] {
            let Some(cut) = decreasing(problem, &preference(problem, first), way) else { continue };
            let cut = problem.trimmed(cut);
            if best.as_ref().is_none_or(|b| problem.cost(&cut) < problem.cost(b)) {
                best = Some(cut);
            }
        }
    }
    best
}

/// How a piece that can be turned is laid.
#[derive(Clone, Copy)]
enum Way {
    /// Longer side along the roll.
    Long,
    /// Shorter side along the roll.
    Short,
    /// The side across that leaves least of the roll's width beside copies of it.
    Wide,
}

/// The kind of roll to open first, then the others by cost for their area.
fn preference(problem: &Problem, first: usize) -> Vec<usize> {
    let dear = |r: &usize| {
        let roll = &problem.rolls[*r];
        roll.cost / (roll.length as f64 * roll.width as f64)
    };
    let mut order: Vec<usize> = (0..problem.rolls.len()).collect();
    order.sort_by(|a, b| {
        (*a != first, dear(a)).partial_cmp(&(*b != first, dear(b))).unwrap_or(a.cmp(b))
    });
    order
}

/// The way to lay a piece on a roll, if it fits.
fn lay(problem: &Problem, piece: usize, roll: usize, way: Way) -> Option<usize> {
    let mut fitting: Vec<usize> = (0..problem.oriented.len())
        .filter(|l| problem.oriented[*l].piece == piece && problem.fits(*l, roll))
        .collect();
    fitting.sort_by_key(|l| {
        let oriented = &problem.oriented[*l];
        match way {
            Way::Long => u64::MAX - oriented.along,
            Way::Short => oriented.along,
            Way::Wide => problem.rolls[roll].width % oriented.across,
        }
    });
    fitting.first().copied()
}

/// One first-fit-decreasing cut.
fn decreasing(problem: &Problem, preference: &[usize], way: Way) -> Option<Vec<Pattern>> {
    let long = |piece: usize| {
        let on = preference.iter().find_map(|r| lay(problem, piece, *r, way));
        on.map_or((0, 0), |l| (problem.oriented[l].along, problem.oriented[l].across))
    };
    let mut pieces: Vec<usize> = (0..problem.counts.len()).collect();
    pieces.sort_by_key(|p| std::cmp::Reverse(long(*p)));
    let mut left: Vec<u32> = problem.rolls.iter().map(|r| r.at_most.unwrap_or(u32::MAX)).collect();
    let mut cut: Vec<Pattern> = Vec::new();
    for piece in pieces {
        for _ in 0..problem.counts[piece] {
            if cut.iter_mut().any(|pattern| place(problem, pattern, piece, way)) {
                continue;
            }
            let fits = |r: &&usize| left[**r] > 0 && lay(problem, piece, **r, way).is_some();
            let roll = *preference.iter().find(fits)?;
            left[roll] -= 1;
            let mut pattern = Pattern { roll, strips: Vec::new() };
            place(problem, &mut pattern, piece, way);
            cut.push(pattern);
        }
    }
    Some(cut)
}

/// Puts a piece into the first strip with room for it, else into a new strip; false when there is no room.
fn place(problem: &Problem, pattern: &mut Pattern, piece: usize, way: Way) -> bool {
    let Some(l) = lay(problem, piece, pattern.roll, way) else { return false };
    let (oriented, roll) = (&problem.oriented[l], &problem.rolls[pattern.roll]);
    for strip in &mut pattern.strips {
        let across: u64 = strip.oriented.iter().map(|l| problem.oriented[*l].across).sum();
        if oriented.along <= strip.along && across + oriented.across <= roll.width {
            strip.oriented.push(l);
            return true;
        }
    }
    let long: u64 = pattern.strips.iter().map(|s| s.along).sum();
    let fits = long + oriented.along <= roll.length;
    if fits {
        pattern.strips.push(problem.strip(vec![l]));
    }
    fits
}
