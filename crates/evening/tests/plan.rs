//! The planner against every plan there is, against doing nothing and against greedy.

use evening::plan::route::{Job, lateness, less, order, walk};
use evening::plan::{Choice, Problem, best, brute, greedy, short_lists};
use milp::Model;
use milp::{Answer, SolveError};
use milp::{Microlp, Solver};
use proptest::prelude::*;

fn choice(lines: usize) -> impl Strategy<Value = Choice> {
    (0.0..100.0_f64, 60..1800_u32, prop::collection::vec((0..lines, 1..4_u32), 1..3))
        .prop_map(|(expected_loss, seconds, uses)| Choice { expected_loss, seconds, uses })
}

fn garden() -> impl Strategy<Value = Problem> {
    let lines = 3;
    let bed =
        (20.0..120.0_f64, prop::collection::vec(choice(lines), 1..5)).prop_map(|(loss, rest)| {
            let mut all = vec![Choice { expected_loss: loss, seconds: 0, uses: Vec::new() }];
            all.extend(rest);
            all
        });
    (
        prop::collection::vec(bed, 1..6),
        prop::collection::vec(0..6_u32, lines),
        0..4800_u32,
        0.0..1.0_f64,
    )
        .prop_map(|(beds, available, seconds, wage_per_minute)| Problem {
            beds,
            available,
            seconds,
            wage_per_minute,
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(20_000))]

    #[test]
    fn the_solver_agrees_with_brute_force(problem in garden()) {
        let plan = best(&problem, &Microlp).expect("a plan");
        let oracle = brute::best(&problem);
        prop_assert!((plan.cost - oracle.cost).abs() <= 1e-9 * oracle.cost.max(1.0), "{plan:?} {oracle:?}");
        prop_assert_eq!(plan.gap, Some(0.0));
        problem.verify(&plan).expect("every constraint holds");
        prop_assert!(plan.cost <= greedy::plan(&problem).cost + 1e-9);
        prop_assert!(plan.cost <= greedy::nothing(&problem).cost + 1e-9);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn without_a_solver_there_is_still_a_plan(problem in garden()) {
        let plan = best(&problem, &NoSolver).expect("a plan");
        problem.verify(&plan).expect("every constraint holds");
        prop_assert!(plan.cost <= greedy::plan(&problem).cost + 1e-9);
        prop_assert_eq!(plan.gap, None);
    }

    #[test]
    fn less_time_never_makes_a_plan_cheaper(problem in garden()) {
        let full = best(&problem, &Microlp).expect("a plan");
        let mut last = f64::INFINITY;
        for (seconds, plan) in short_lists(&problem, &Microlp, &full, &[300, 900, 1800]).expect("plans") {
            prop_assert!(plan.seconds <= u64::from(seconds));
            prop_assert!(plan.cost >= full.cost - 1e-9 && plan.cost <= last + 1e-9);
            last = plan.cost;
        }
    }

    #[test]
    fn the_order_of_work_is_near_the_best_of_all(
        places in prop::collection::vec((0.0..60.0_f64, 0.0..60.0_f64, 2.0..15.0_f64, 5.0..90.0_f64), 1..6),
    ) {
        let jobs: Vec<Job> = places.iter().map(|p| Job { position_m: Some((p.0, p.1)), minutes: p.2, by: p.3 }).collect();
        let found = lateness(&order(&jobs, 2), &jobs);
        let mut best = found;
        permutations(jobs.len(), &mut |o| {
            let score = lateness(&walk(&jobs, o, 2.0), &jobs);
            if less(score, best) { best = score; }
        });
        // A local search: lateness within half a minute of the best order, walking within five minutes.
        prop_assert!(found[0] <= best[0] + 0.5, "{found:?} {best:?}");
    }
}

fn permutations(n: usize, visit: &mut dyn FnMut(&[usize])) {
    fn go(order: &mut Vec<usize>, k: usize, visit: &mut dyn FnMut(&[usize])) {
        if k == order.len() {
            visit(order);
        }
        for i in k..order.len() {
            order.swap(k, i);
            go(order, k + 1, visit);
            order.swap(k, i);
        }
    }
    go(&mut (0..n).collect(), 0, visit);
}

struct NoSolver;

impl Solver for NoSolver {
    fn solve(&self, _: &Model) -> Result<Answer, SolveError> {
        Err(SolveError("none here".into()))
    }
}

/// Forty beds, no two alike, that fight for three kinds of sheet: once this searched without end.
#[test]
fn a_garden_of_forty_beds_gets_a_plan_close_to_the_best() {
    let beds = (0..40_u32).map(|b| {
        let loss = f64::from(20 + (b * 37) % 101);
        let open = Choice { expected_loss: loss, seconds: 0, uses: Vec::new() };
        let covers = (0..6_u32).map(|c| Choice {
            expected_loss: loss * (0.2 + 0.1 * f64::from((b * 7 + c * 5) % 7)),
            seconds: 240 + 30 * ((b + 3 * c) % 9),
            uses: vec![(c as usize % 3, 1 + c / 3), (3, 6 + b % 5)],
        });
        std::iter::once(open).chain(covers).collect()
    });
    let problem = Problem {
        beds: beds.collect(),
        available: vec![9, 7, 5, 130],
        seconds: 5400,
        wage_per_minute: 0.25,
    };
    let plan = best(&problem, &Microlp).expect("a plan");
    problem.verify(&plan).expect("every constraint holds");
    let gap = plan.gap.expect("a bound");
    assert!(gap < 0.03, "{gap}");
    assert!(plan.cost < greedy::plan(&problem).cost);
}

#[test]
fn nonsense_is_refused() {
    let open = Choice { expected_loss: f64::NAN, seconds: 0, uses: Vec::new() };
    let problem =
        Problem { beds: vec![vec![open]], available: vec![], seconds: 60, wage_per_minute: 0.0 };
    assert!(best(&problem, &Microlp).is_err());
    let nothing = Problem { beds: vec![], ..problem };
    assert!(best(&nothing, &Microlp).is_ok_and(|p| p.choice.is_empty()));
}
