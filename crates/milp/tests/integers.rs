//! Programs over whole numbers.

use milp::{Microlp, Model, Row, Sense, Solver};
use proptest::prelude::*;

/// Minimise −Σ value · x, Σ weight · x ≤ capacity, x in {0, 1}.
fn knapsack(things: &[(f64, f64)], capacity: f64) -> Model {
    let mut model = Model::default();
    let terms = things.iter().map(|(value, weight)| (model.var(-value, 1), *weight)).collect();
    model.at_most(terms, capacity);
    model
}

fn cost(model: &Model, counts: &[i32]) -> f64 {
    model.objective.iter().zip(counts).map(|(c, n)| c * f64::from(*n)).sum()
}

/// Seven things in 170: values 442, 525, 511, 593, 546, 564, 617, weights 41, 50, 49, 59, 55, 57, 60; the best, 1735, takes
/// the second, fourth and seventh. A published test instance, from memory; every subset is tried besides.
#[test]
fn a_known_knapsack() {
    let values = [442.0, 525.0, 511.0, 593.0, 546.0, 564.0, 617.0];
    let weights = [41.0, 50.0, 49.0, 59.0, 55.0, 57.0, 60.0];
    let things: Vec<(f64, f64)> = values.into_iter().zip(weights).collect();
    let best = (0..1_u32 << 7)
        .map(|set| things.iter().enumerate().filter(move |(k, _)| set >> k & 1 == 1))
        .map(|taken| taken.fold((0.0, 0.0), |sum, (_, t)| (sum.0 + t.0, sum.1 + t.1)))
        .filter(|(_, weight)| *weight <= 170.0)
        .map(|(value, _)| value)
        .fold(0.0, f64::max);
    assert_eq!(best, 1735.0);
    let answer = Microlp.solve(&knapsack(&things, 170.0)).expect("an answer");
    assert_eq!((answer.counts, answer.gap), (vec![0, 1, 0, 1, 0, 0, 1], Some(0.0)));
}

/// Three people, three tasks; by hand: of the six ways 2 + 4 + 3 is the least.
#[test]
fn an_assignment_worked_by_hand() {
    let costs = [[2.0, 9.0, 7.0], [6.0, 4.0, 8.0], [5.0, 7.0, 3.0]];
    let mut model = Model::default();
    let x = costs.map(|row| row.map(|c| model.var(c, 1)));
    for k in 0..3 {
        let person = x[k].map(|v| (v, 1.0)).to_vec();
        let task = x.map(|row| (row[k], 1.0)).to_vec();
        for terms in [person, task] {
            model.rows.push(Row { terms, sense: Sense::Equal, right: 1.0 });
        }
    }
    let answer = Microlp.solve(&model).expect("an answer");
    assert_eq!(answer.counts, [1, 0, 0, 0, 1, 0, 0, 0, 1]);
    assert_eq!((cost(&model, &answer.counts), answer.gap), (9.0, Some(0.0)));
}

/// 2 x = 3 has no whole answer.
#[test]
fn what_has_no_answer_is_an_error() {
    let mut model = Model::default();
    let x = model.var(1.0, 5);
    model.rows.push(Row { terms: vec![(x, 2.0)], sense: Sense::Equal, right: 3.0 });
    assert!(Microlp.solve(&model).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    /// Against every assignment of three variables up to 3 under two rows.
    #[test]
    fn every_small_program(
        objective in prop::array::uniform3(-9..10_i32),
        rows in prop::array::uniform2((prop::array::uniform3(-5..6_i32), -4..12_i32)),
    ) {
        let mut model = Model::default();
        for c in objective {
            model.var(f64::from(c), 3);
        }
        for (terms, right) in rows {
            let terms = terms.iter().enumerate().map(|(v, a)| (v, f64::from(*a))).collect();
            model.at_most(terms, f64::from(right));
        }
        let dot = |a: &[i32; 3], x: &[i32; 3]| a.iter().zip(x).map(|(a, x)| a * x).sum::<i32>();
        let all = (0..64).map(|k| [k % 4, k / 4 % 4, k / 16]);
        let kept = all.filter(|x| rows.iter().all(|(a, right)| dot(a, x) <= *right));
        let best = kept.map(|x| dot(&objective, &x)).min();
        let found = Microlp.solve(&model).ok();
        prop_assert_eq!(found.as_ref().map(|a| cost(&model, &a.counts)), best.map(f64::from));
        if let Some(answer) = found {
            prop_assert_eq!(answer.gap, Some(0.0));
            let x = [answer.counts[0], answer.counts[1], answer.counts[2]];
            prop_assert!(rows.iter().all(|(a, right)| dot(a, &x) <= *right));
        }
    }
}
