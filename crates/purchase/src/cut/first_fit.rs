//! The cut a careful person makes: longest pieces first, each into the first place where it fits.

use crate::cut::problem::{Problem, Used};

/// The cheapest of first-fit-decreasing cuts: with each kind of roll taken first, and pieces laid long, short or as
/// wide as they can be. `None` when all of them run out of rolls.
///
/// In one dimension with one kind of roll: rolls ≤ 11/9 · best + 6/9 (Dósa 2007, from memory).
/// Checked by `cut::first_fit_keeps_its_promise`.
/// Equation 48 of docs/science.md.
pub fn cut(problem: &Problem) -> Option<Vec<Used>> {
    let mut best: Option<Vec<Used>> = None;
    for first in 0..problem.rolls.len() {
        for way in [Way::Long, Way::Short, Way::Wide] {
            let Some(cut) = one(problem, &preference(problem, first), way) else { continue };
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
    let mut fitting: Vec<usize> = (0..problem.laid.len())
        .filter(|l| problem.laid[*l].piece == piece && problem.fits(*l, roll))
        .collect();
    fitting.sort_by_key(|l| {
        let laid = &problem.laid[*l];
        match way {
            Way::Long => u64::MAX - laid.along,
            Way::Short => laid.along,
            Way::Wide => problem.rolls[roll].width % laid.across,
        }
    });
    fitting.first().copied()
}

/// One first-fit-decreasing cut.
fn one(problem: &Problem, preference: &[usize], way: Way) -> Option<Vec<Used>> {
    let long = |piece: usize| {
        let on = preference.iter().find_map(|r| lay(problem, piece, *r, way));
        on.map_or((0, 0), |l| (problem.laid[l].along, problem.laid[l].across))
    };
    let mut pieces: Vec<usize> = (0..problem.counts.len()).collect();
    pieces.sort_by_key(|p| std::cmp::Reverse(long(*p)));
    let mut left: Vec<u32> = problem.rolls.iter().map(|r| r.at_most.unwrap_or(u32::MAX)).collect();
    let mut cut: Vec<Used> = Vec::new();
    for piece in pieces {
        for _ in 0..problem.counts[piece] {
            if cut.iter_mut().any(|used| place(problem, used, piece, way)) {
                continue;
            }
            let fits = |r: &&usize| left[**r] > 0 && lay(problem, piece, **r, way).is_some();
            let roll = *preference.iter().find(fits)?;
            left[roll] -= 1;
            let mut used = Used { roll, strips: Vec::new() };
            place(problem, &mut used, piece, way);
            cut.push(used);
        }
    }
    Some(cut)
}

/// Puts a piece into the first strip with room for it, else into a new strip; false when there is no room.
fn place(problem: &Problem, used: &mut Used, piece: usize, way: Way) -> bool {
    let Some(l) = lay(problem, piece, used.roll, way) else { return false };
    let (laid, roll) = (&problem.laid[l], &problem.rolls[used.roll]);
    for strip in &mut used.strips {
        let across: u64 = strip.laid.iter().map(|l| problem.laid[*l].across).sum();
        if laid.along <= strip.along && across + laid.across <= roll.width {
            strip.laid.push(l);
            return true;
        }
    }
    let long: u64 = used.strips.iter().map(|s| s.along).sum();
    let fits = long + laid.along <= roll.length;
    if fits {
        used.strips.push(problem.strip(vec![l]));
    }
    fits
}
