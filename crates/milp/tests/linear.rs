//! Linear programs over real numbers.

use milp::{LinearProgram, LinearSolution};

/// Three plants, two products: maximise 3 x + 5 y, x ≤ 4, 2 y ≤ 12, 3 x + 2 y ≤ 18; the best is 36 at (2, 6).
/// Hillier and Lieberman, Introduction to Operations Research, the first example; from memory, and by hand.
fn two_products() -> LinearProgram {
    let mut program = LinearProgram::default();
    let x = program.var(3.0, f64::INFINITY);
    let y = program.var(5.0, f64::INFINITY);
    program.at_most(&[(x, 1.0)], 4.0);
    program.at_most(&[(y, 2.0)], 12.0);
    program.at_most(&[(x, 3.0), (y, 2.0)], 18.0);
    program
}

fn is(solution: &LinearSolution, objective: f64, values: &[f64]) {
    assert!((solution.objective() - objective).abs() < 1e-9, "{}", solution.objective());
    for (v, value) in values.iter().enumerate() {
        assert!((solution.value(v) - value).abs() < 1e-9, "variable {v}: {}", solution.value(v));
    }
}

#[test]
fn a_textbook_program() {
    is(&two_products().solve().expect("a solution"), 36.0, &[2.0, 6.0]);
}

/// By hand: with y ≤ 3 as well, x = 4 and 3 · 4 + 5 · 3 = 27; with x + y ≤ 5 instead, y = 5 and x = 0 give 25.
#[test]
fn a_row_added_later_counts_as_much() {
    let solution = two_products().solve().expect("a solution");
    let fewer = solution.clone().with_at_most(&[(1, 1.0)], 3.0).expect("a solution");
    is(&fewer, 27.0, &[4.0, 3.0]);
    let together = solution.with_at_most(&[(0, 1.0), (1, 1.0)], 5.0).expect("a solution");
    is(&together, 25.0, &[0.0, 5.0]);
}

/// The dual of the least rolls for 97, 610, 395 and 211 pieces is worth 452.25: Chvátal, Linear Programming (1983), chapter
/// 13, from memory. Its rows are every full cut of a roll of 100 into 45, 36, 31 and 14.
#[test]
fn the_dual_of_a_cutting_stock_problem() {
    let (sizes, wanted) = ([45_u32, 36, 31, 14], [97.0, 610.0, 395.0, 211.0]);
    let mut program = LinearProgram::default();
    let values: Vec<usize> = wanted.iter().map(|d| program.var(*d, f64::INFINITY)).collect();
    let most = |k: usize, left: u32| 0..=left / sizes[k];
    for a in most(0, 100) {
        for b in most(1, 100 - 45 * a) {
            for c in most(2, 100 - 45 * a - 36 * b) {
                let d = (100 - 45 * a - 36 * b - 31 * c) / 14;
                let pattern = [a, b, c, d].map(f64::from);
                let terms: Vec<(usize, f64)> = values.iter().copied().zip(pattern).collect();
                program.at_most(&terms, 1.0);
            }
        }
    }
    let solution = program.solve().expect("a solution");
    assert!((solution.objective() - 452.25).abs() < 1e-6, "{}", solution.objective());
}

#[test]
fn what_has_no_greatest_or_no_solution_is_an_error() {
    let mut endless = LinearProgram::default();
    endless.var(1.0, f64::INFINITY);
    assert!(endless.solve().is_err());
    let mut empty = LinearProgram::default();
    let x = empty.var(1.0, 1.0);
    empty.at_most(&[(x, 1.0)], -1.0);
    assert!(empty.solve().is_err());
    let solution = two_products().solve().expect("a solution");
    assert!(solution.with_at_most(&[(0, 1.0)], -1.0).is_err());
}
