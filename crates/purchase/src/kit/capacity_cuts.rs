//! Capacity cuts: whatever pieces are worth, a roll holds no more worth than its best filling.

use crate::kit::problem::{Origin, Problem};

/// What every purchase keeps: Σ worth · pieces ≤ Σ most · rolls.
///
/// Any worths ≥ 0 give such a row, with the best filling of each roll as its most (a knapsack bound, Gilmore and Gomory
/// 1965). Checked by `kit::every_small_kit`.
#[derive(Clone, Debug, PartialEq)]
pub struct CapacityCut {
    /// Size and what one piece of it is worth.
    pub pieces: Vec<(usize, f64)>,
    /// Kind of roll and the most worth that one holds.
    pub rolls: Vec<(usize, f64)>,
}

/// One way to lay a piece: across the roll and along it, mm rounded down, and its worth.
#[derive(Clone, Copy)]
struct OrientedPiece {
    across: usize,
    along: usize,
    worth: f64,
}

/// How pieces are valued, by size and roll, m².
type Worth = fn(&Problem, usize, usize) -> f64;

/// Rows for each set of rolls that some sizes are bound to: by area, by the strip that a piece takes
/// among its like, and by the strip of those that lie alone.
/// Equation 62 of docs/science.md.
pub fn capacity_cuts(problem: &Problem) -> Vec<CapacityCut> {
    let mut capacity: Vec<CapacityCut> = Vec::new();
    for set in fit_sets(problem) {
        for worth in [area as Worth, strip, alone] {
            let cut = cut(problem, &set, worth);
            if cut.pieces.iter().any(|p| p.1 > 0.0) && !capacity.contains(&cut) {
                capacity.push(cut);
            }
        }
    }
    capacity
}

fn cut(problem: &Problem, set: &[usize], worth: Worth) -> CapacityCut {
    let bound = |s: &usize| {
        let fits = fits(problem, *s);
        !fits.is_empty() && fits.iter().all(|r| set.contains(r))
    };
    let least = |s: usize| {
        let each = fits(problem, s).into_iter().map(|r| worth(problem, s, r));
        (s, each.fold(f64::INFINITY, f64::min))
    };
    let pieces: Vec<(usize, f64)> = (0..problem.sizes.len()).filter(bound).map(least).collect();
    let rolls = set.iter().map(|r| (*r, most(problem, *r, &pieces))).collect();
    CapacityCut { pieces, rolls }
}

/// Area of a piece.
fn area(problem: &Problem, size: usize, _: usize) -> f64 {
    problem.sizes[size].width_m * problem.sizes[size].length_m
}

/// Share of a strip that a piece takes among its like, whichever way it lies: W l/⌊W/w⌋.
fn strip(problem: &Problem, size: usize, roll: usize) -> f64 {
    let width_m = problem.rolls[roll].width_m;
    let share = |(w, l): (f64, f64)| width_m * l / ((width_m + 1e-4) / w).floor();
    ways(problem, size, roll).into_iter().map(share).fold(f64::INFINITY, f64::min)
}

/// The strip that a piece takes which leaves no room for its like beside it and cannot be turned; 0 for another.
fn alone(problem: &Problem, size: usize, roll: usize) -> f64 {
    let width_m = problem.rolls[roll].width_m;
    match ways(problem, size, roll).as_slice() {
        [(w, l)] if *w > 0.5 * width_m => width_m * l,
        _ => 0.0,
    }
}

/// The most worth that one roll holds, cut across into strips of every length and then slit.
fn most(problem: &Problem, roll: usize, pieces: &[(usize, f64)]) -> f64 {
    let mm = |m: f64| (1000.0 * m + 0.1).floor().max(1.0) as usize;
    let mut oriented: Vec<OrientedPiece> = Vec::new();
    for (size, worth) in pieces {
        let lie = |(w, l)| OrientedPiece { across: mm(w), along: mm(l), worth: *worth };
        oriented.extend(ways(problem, *size, roll).into_iter().map(lie));
    }
    oriented.sort_by_key(|l| l.along);
    let (width, length) = (mm(problem.rolls[roll].width_m), mm(problem.rolls[roll].length_m));
    // Strips: for each length the best of all pieces no longer than it.
    let mut strips: Vec<(usize, f64)> = Vec::new();
    for (k, longest) in oriented.iter().enumerate() {
        let side: Vec<(usize, f64)> = oriented[..=k].iter().map(|l| (l.across, l.worth)).collect();
        strips.push((longest.along, knapsack(&side, width)));
    }
    knapsack(&strips, length)
}

/// The most worth of items of these lengths, each as often as wanted, in a length.
fn knapsack(items: &[(usize, f64)], length: usize) -> f64 {
    let Some(shortest) = items.iter().map(|t| t.0).min() else { return 0.0 };
    let mut best = vec![0.0_f64; length + 1];
    for at in shortest..=length {
        let with = |t: &(usize, f64)| at.checked_sub(t.0).map_or(0.0, |left| best[left] + t.1);
        best[at] = items.iter().map(with).fold(best[at - 1], f64::max);
    }
    best[length]
}

/// Width across and length along of a piece on a roll: as it is, and turned if it is cloth.
fn ways(problem: &Problem, size: usize, roll: usize) -> Vec<(f64, f64)> {
    let (s, r) = (&problem.sizes[size], &problem.rolls[roll]);
    let within = |w: f64, l: f64| w <= r.width_m + 1e-4 && l <= r.length_m + 1e-4;
    let mut ways = Vec::new();
    if within(s.width_m, s.length_m) {
        ways.push((s.width_m, s.length_m));
    }
    if !problem.goods[r.goods].wire && within(s.length_m, s.width_m) {
        ways.push((s.length_m, s.width_m));
    }
    ways
}

/// Rolls that a size fits on.
fn fits(problem: &Problem, size: usize) -> Vec<usize> {
    let of = |r: &usize| problem.sizes[size].from == Origin::Goods(problem.rolls[*r].goods);
    let rolls = (0..problem.rolls.len()).filter(of);
    rolls.filter(|r| !ways(problem, size, *r).is_empty()).collect()
}

/// Sets of rolls on which some size fits, and all rolls of each cloth or wire.
fn fit_sets(problem: &Problem) -> Vec<Vec<usize>> {
    let of = |g: usize| (0..problem.rolls.len()).filter(|r| problem.rolls[*r].goods == g).collect();
    let whole = (0..problem.goods.len()).map(of);
    let mut sets: Vec<Vec<usize>> =
        whole.chain((0..problem.sizes.len()).map(|s| fits(problem, s))).collect();
    sets.retain(|s| !s.is_empty());
    sets.sort_unstable();
    sets.dedup();
    sets
}
