//! Cut lists against every cut there is, published instances, and the check that knows nothing of the method.

use milp::Model;
use milp::{Answer, SolveError};
use milp::{Microlp, Solver};
use proptest::prelude::*;
use purchase::cut::{CutError, lengths, sheets};

use crate::cut_oracle as oracle;

pub fn wanted(pairs: &[(f64, u32)]) -> Vec<lengths::Demand> {
    let demand = |(length_m, count): &(f64, u32)| lengths::Demand {
        name: format!("hoop of {length_m} m"),
        length_m: *length_m,
        count: *count,
    };
    pairs.iter().map(demand).collect()
}

pub fn wire(kinds: &[(f64, Option<f64>, Option<u32>)]) -> Vec<lengths::Roll> {
    let roll = |(length_m, price, at_most): &(f64, Option<f64>, Option<u32>)| lengths::Roll {
        name: format!("wire of {length_m} m"),
        length_m: *length_m,
        price: *price,
        at_most: *at_most,
    };
    kinds.iter().map(roll).collect()
}

pub fn cloth(kinds: &[(f64, f64, Option<f64>, Option<u32>)]) -> Vec<sheets::Roll> {
    let roll = |(w, l, price, at_most): &(f64, f64, Option<f64>, Option<u32>)| sheets::Roll {
        name: format!("cloth of {w} by {l} m"),
        width_m: *w,
        length_m: *l,
        price: *price,
        at_most: *at_most,
        material: 0,
    };
    kinds.iter().map(roll).collect()
}

pub fn covers(sizes: &[(f64, f64, u32)]) -> Vec<sheets::Demand> {
    let demand = |(w, l, count): &(f64, f64, u32)| sheets::Demand {
        name: format!("sheet of {w} by {l} m"),
        width_m: *w,
        length_m: *l,
        count: *count,
        material: 0,
    };
    sizes.iter().map(demand).collect()
}

/// Tenths of a metre, so that sums are as exact as metres can be.
fn tenths(n: u32) -> f64 {
    f64::from(n) / 10.0
}

type Wire = (Vec<lengths::Demand>, Vec<lengths::Roll>, f64);

fn small_wire() -> impl Strategy<Value = Wire> {
    some_wire(1..4, 0.5)
}

/// Pieces of up to three lengths, so many of each; rolls of up to three kinds, some of which may run out.
fn some_wire(each: std::ops::Range<u32>, runs_out: f64) -> impl Strategy<Value = Wire> {
    let roll = (
        20..80_u32,
        prop::option::weighted(0.8, 100..3000_u32),
        prop::option::weighted(runs_out, 0..4_u32),
    );
    (
        prop::collection::vec((5..60_u32, each), 1..4),
        prop::collection::vec(roll, 1..4),
        prop::sample::select(vec![0.0, 0.1, 0.3]),
    )
        .prop_map(|(pieces, rolls, kerf_m)| {
            let pieces: Vec<_> = pieces.iter().map(|(l, n)| (tenths(*l), *n)).collect();
            let price = |p: &u32| f64::from(*p) / 100.0;
            let rolls: Vec<_> =
                rolls.iter().map(|(l, p, n)| (tenths(*l), p.as_ref().map(price), *n)).collect();
            (wanted(&pieces), wire(&rolls), kerf_m)
        })
}

type Cloth = (Vec<sheets::Demand>, Vec<sheets::Roll>);

fn small_cloth() -> impl Strategy<Value = Cloth> {
    let roll = (
        10..40_u32,
        20..80_u32,
        prop::option::weighted(0.8, 100..3000_u32),
        prop::option::weighted(0.3, 0..4_u32),
    );
    (
        prop::collection::vec((5..30_u32, 5..60_u32, 1..4_u32), 1..4),
        prop::collection::vec(roll, 1..4),
    )
        .prop_map(|(pieces, rolls)| {
            let pieces: Vec<_> =
                pieces.iter().map(|(w, l, n)| (tenths(*w), tenths(*l), *n)).collect();
            let price = |p: &u32| f64::from(*p) / 100.0;
            let rolls: Vec<_> = rolls
                .iter()
                .map(|(w, l, p, n)| (tenths(*w), tenths(*l), p.as_ref().map(price), *n))
                .collect();
            (covers(&pieces), cloth(&rolls))
        })
}

/// What counts: money if there is a cost, else size.
fn total(proof: &purchase::cut::Proof) -> f64 {
    proof.cost.unwrap_or(proof.bought)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10_000))]

    /// Not only near the best: equal to it, and proven so.
    #[test]
    fn every_small_case_in_one_dimension((demands, rolls, kerf_m) in small_wire()) {
        let best = oracle::lengths(&demands, &rolls, kerf_m);
        match lengths::cut(&demands, &rolls, kerf_m, &Microlp) {
            Ok(layout) => {
                let best = best.expect("the oracle finds a cut too");
                prop_assert!((total(&layout.proof) - best).abs() <= 1e-9 * best, "{layout:?} {best}");
                prop_assert_eq!(layout.proof.gap, 0.0);
                lengths::verify(&demands, &rolls, kerf_m, &layout).expect("every rule holds");
            }
            Err(CutError::NotEnoughRolls { proven, .. }) => prop_assert!(best.is_none() && proven),
            Err(e) => prop_assert!(best.is_none() && matches!(e, CutError::TooLong { .. }), "{e}"),
        }
    }

    /// Up to twelve pieces: several purchases lie between the bound and first fit.
    #[test]
    fn a_proof_holds_where_there_is_much_to_choose((demands, rolls, kerf_m) in some_wire(2..5, 0.05)) {
        if let Ok(layout) = lengths::cut(&demands, &rolls, kerf_m, &Microlp) {
            let best = oracle::lengths(&demands, &rolls, kerf_m).expect("the oracle finds a cut too");
            prop_assert!((total(&layout.proof) - best).abs() <= 1e-9 * best, "{layout:?} {best}");
            prop_assert_eq!(layout.proof.gap, 0.0);
        }
    }

    #[test]
    fn every_small_case_in_two_dimensions((demands, rolls) in small_cloth()) {
        let best = oracle::sheets(&demands, &rolls);
        match sheets::cut(&demands, &rolls, &Microlp) {
            Ok(layouts) => {
                let best = best.expect("the oracle finds a cut too");
                let proof = layouts[0].proof;
                prop_assert!((total(&proof) - best).abs() <= 1e-9 * best, "{layouts:?} {best}");
                prop_assert_eq!(proof.gap, 0.0);
                sheets::verify(&demands, &rolls, &layouts).expect("every rule holds");
            }
            Err(CutError::NotEnoughRolls { proven, .. }) => prop_assert!(best.is_none() && proven),
            Err(e) => prop_assert!(best.is_none() && matches!(e, CutError::TooLarge { .. }), "{e}"),
        }
    }
}

struct NoSolver;

impl Solver for NoSolver {
    fn solve(&self, _: &Model) -> Result<Answer, SolveError> {
        Err(SolveError("none here".into()))
    }
}

/// First-fit decreasing as anyone would write it: how many rolls of one kind.
fn first_fit(pieces: &[f64], roll_m: f64) -> usize {
    let mut sorted = pieces.to_vec();
    sorted.sort_by(|a, b| b.total_cmp(a));
    let mut ends: Vec<f64> = Vec::new();
    for piece in sorted {
        match ends.iter_mut().find(|end| **end + piece <= roll_m + 1e-9) {
            Some(end) => *end += piece,
            None => ends.push(piece),
        }
    }
    ends.len()
}

fn garden_wire() -> impl Strategy<Value = Vec<lengths::Demand>> {
    prop::collection::vec((80..420_u32, 1..40_u32), 1..8).prop_map(|pairs| {
        let pairs: Vec<_> = pairs.iter().map(|(cm, n)| (f64::from(*cm) / 100.0, *n)).collect();
        wanted(&pairs)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Rolls ≤ 11/9 · best + 6/9 for first fit (Dósa 2007, from memory); the program is never worse than first fit.
    #[test]
    fn first_fit_keeps_its_promise(demands in garden_wire(), roll_m in 5..20_u32) {
        let roll_m = f64::from(roll_m);
        let each = |d: &lengths::Demand| vec![d.length_m; d.count as usize];
        let pieces: Vec<f64> = demands.iter().flat_map(each).collect();
        let careful = first_fit(&pieces, roll_m);
        let rolls = wire(&[(roll_m, None, None)]);
        let alone = lengths::cut(&demands, &rolls, 0.0, &NoSolver).expect("a cut");
        let layout = lengths::cut(&demands, &rolls, 0.0, &Microlp).expect("a cut");
        lengths::verify(&demands, &rolls, 0.0, &layout).expect("every rule holds");
        prop_assert!(layout.rolls.len() <= alone.rolls.len() && alone.rolls.len() <= careful);
        let least = layout.proof.at_least / roll_m;
        prop_assert!(least * roll_m <= alone.proof.bought + 1e-9);
        if layout.proof.gap == 0.0 {
            prop_assert!(careful as f64 <= 11.0 / 9.0 * least + 6.0 / 9.0 + 1e-9, "{careful} {least}");
        }
    }

    /// Without a solver: what is claimed to be out of reach is, in one dimension and in two.
    #[test]
    fn the_bound_holds((demands, rolls, kerf_m) in small_wire(), (sizes, cloths) in small_cloth()) {
        let line = lengths::cut(&demands, &rolls, kerf_m, &NoSolver);
        if let (Some(best), Ok(layout)) = (oracle::lengths(&demands, &rolls, kerf_m), line) {
            prop_assert!(layout.proof.at_least <= best * (1.0 + 1e-9), "{layout:?} {best}");
            prop_assert!(total(&layout.proof) >= best * (1.0 - 1e-9));
        }
        let flat = sheets::cut(&sizes, &cloths, &NoSolver);
        if let (Some(best), Ok(layouts)) = (oracle::sheets(&sizes, &cloths), flat) {
            prop_assert!(layouts[0].proof.at_least <= best * (1.0 + 1e-9), "{layouts:?} {best}");
        }
    }

    /// Sheets as wide as the roll are lengths; the two questions have one answer.
    #[test]
    fn sheets_as_wide_as_the_roll_are_lengths(demands in garden_wire(), roll_m in 8..20_u32) {
        let roll_m = f64::from(roll_m);
        let sizes: Vec<_> = demands.iter().map(|d| (30.0, d.length_m, d.count)).collect();
        let cloths = cloth(&[(30.0, roll_m, Some(7.0), None)]);
        let rolls = wire(&[(roll_m, Some(7.0), None)]);
        let flat = sheets::cut(&covers(&sizes), &cloths, &Microlp).expect("a cut");
        let line = lengths::cut(&demands, &rolls, 0.0, &Microlp).expect("a cut");
        prop_assert_eq!(flat[0].proof.cost, line.proof.cost);
        prop_assert_eq!(flat[0].proof.at_least, line.proof.at_least);
        // The same question has the same answer, to the bit.
        prop_assert_eq!(line, lengths::cut(&demands, &rolls, 0.0, &Microlp).expect("a cut"));
    }

    /// One more kind of roll never makes the best cut dearer.
    #[test]
    fn more_choice_never_costs_more((demands, rolls, kerf_m) in small_wire()) {
        let priced: Vec<_> = rolls.iter().map(|r| lengths::Roll { price: r.price.or(Some(9.0)), ..r.clone() }).collect();
        if let Ok(fewer) = lengths::cut(&demands, &priced[1..], kerf_m, &Microlp) {
            let all = lengths::cut(&demands, &priced, kerf_m, &Microlp).expect("a cut");
            let cost = |l: &lengths::Layout| l.proof.cost.unwrap_or(0.0);
            if priced[1..].iter().any(|r| r.price > Some(0.0)) {
                prop_assert!(cost(&all) <= cost(&fewer) + 1e-9);
            }
        }
    }
}
