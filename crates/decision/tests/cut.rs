//! Cut lists against every cut there is, published instances, and the check that knows nothing of the method.

use decision::cut::{CutError, lengths, sheets, verify};
use decision::plan::model::Model;
use decision::plan::solver::{Answer, SolveError};
use decision::plan::{Microlp, Solver};
use proptest::prelude::*;

use crate::cut_oracle as oracle;

fn wanted(pairs: &[(f64, u32)]) -> Vec<lengths::Demand> {
    let demand = |(length_m, count): &(f64, u32)| lengths::Demand {
        name: format!("hoop of {length_m} m"),
        length_m: *length_m,
        count: *count,
    };
    pairs.iter().map(demand).collect()
}

fn wire(kinds: &[(f64, Option<f64>, Option<u32>)]) -> Vec<lengths::Roll> {
    let roll = |(length_m, price, at_most): &(f64, Option<f64>, Option<u32>)| lengths::Roll {
        name: format!("wire of {length_m} m"),
        length_m: *length_m,
        price: *price,
        at_most: *at_most,
    };
    kinds.iter().map(roll).collect()
}

fn cloth(kinds: &[(f64, f64, Option<f64>, Option<u32>)]) -> Vec<sheets::Roll> {
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

fn covers(sizes: &[(f64, f64, u32)]) -> Vec<sheets::Demand> {
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
    let roll = (
        20..80_u32,
        prop::option::weighted(0.8, 100..3000_u32),
        prop::option::weighted(0.5, 0..4_u32),
    );
    (
        prop::collection::vec((5..60_u32, 1..4_u32), 1..4),
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
        prop::collection::vec((5..30_u32, 5..60_u32, 1..3_u32), 1..4),
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
fn total(proof: &decision::cut::Proof) -> f64 {
    proof.cost.unwrap_or(proof.bought)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    /// Not only near the best: equal to it, and proven so.
    #[test]
    fn every_small_case_in_one_dimension((demands, rolls, kerf_m) in small_wire()) {
        let best = oracle::lengths(&demands, &rolls, kerf_m);
        match lengths::cut(&demands, &rolls, kerf_m, &Microlp) {
            Ok(layout) => {
                let best = best.expect("the oracle finds a cut too");
                prop_assert!((total(&layout.proof) - best).abs() <= 1e-9 * best, "{layout:?} {best}");
                prop_assert_eq!(layout.proof.gap, 0.0);
                verify::lengths(&demands, &rolls, kerf_m, &layout).expect("every rule holds");
            }
            Err(CutError::NotEnoughRolls { proven, .. }) => prop_assert!(best.is_none() && proven),
            Err(e) => prop_assert!(best.is_none() && matches!(e, CutError::TooLong { .. }), "{e}"),
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
                verify::sheets(&demands, &rolls, &layouts).expect("every rule holds");
            }
            Err(CutError::NotEnoughRolls { proven, .. }) => prop_assert!(best.is_none() && proven),
            Err(e) => prop_assert!(best.is_none() && matches!(e, CutError::TooLarge { .. }), "{e}"),
        }
    }
}

/// Thirteen widths from paper 5600 mm wide: 73 rolls. A well-known exercise; from memory.
/// That no 72 do it needs no memory: the proof of the bound says so.
#[test]
fn the_paper_mill_needs_73_rolls() {
    let widths = [1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200];
    let counts = [22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20];
    let pairs: Vec<_> =
        widths.iter().zip(counts).map(|(w, n)| (f64::from(*w) / 1000.0, n)).collect();
    let layout = lengths::cut(&wanted(&pairs), &wire(&[(5.6, None, None)]), 0.0, &Microlp);
    let layout = layout.expect("a cut");
    assert_eq!((layout.rolls.len(), layout.proof.gap), (73, 0.0));
}
