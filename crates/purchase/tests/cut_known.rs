//! Cut lists with an answer known beforehand, rolls that cost nothing, faults of the grower, and faults in an answer.

use milp::Microlp;
use purchase::cut::{CutError, lengths, sheets};

use crate::cut::{cloth, covers, wanted, wire};

fn rolls_used(pairs: &[(f64, u32)], roll_m: f64) -> (usize, f64) {
    let rolls = wire(&[(roll_m, None, None)]);
    let layout = lengths::cut(&wanted(pairs), &rolls, 0.0, &Microlp).expect("a cut");
    (layout.rolls.len(), layout.proof.gap)
}

/// Thirteen widths from paper 5600 mm wide. The data are read (an example of a public optimisation library); the answer
/// of 73 rolls is from memory. That 72 cannot do it needs no memory: the proof says so.
#[test]
fn the_paper_mill_needs_73_rolls() {
    let widths = [1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200];
    let counts = [22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20];
    let pairs: Vec<_> =
        widths.iter().zip(counts).map(|(w, n)| (f64::from(*w) / 1000.0, n)).collect();
    assert_eq!(rolls_used(&pairs, 5.6), (73, 0.0));
}

/// Chvátal, Linear Programming (1983), chapter 13: the linear program gives 452.25, so 453. From memory; the data are
/// read in an example of a modelling language.
#[test]
fn the_textbook_needs_453_rolls() {
    let pairs = [(0.45, 97), (0.36, 610), (0.31, 395), (0.14, 211)];
    assert_eq!(rolls_used(&pairs, 1.0), (453, 0.0));
}

/// The linear program gives 259/132 = 1.96, but two rolls are not enough. Fieldhouse 1990, from memory; and by hand: two
/// rolls of 132 leave 5 in all, so each must hold 127 at least, but a roll that holds a 44 holds 125 at most.
#[test]
fn rounding_up_is_not_always_enough() {
    let pairs = [(4.4, 2), (3.3, 3), (1.2, 6)];
    assert_eq!(rolls_used(&pairs, 13.2), (3, 0.0));
}

/// Rolls cut up without waste and put together again: as many as there were.
#[test]
fn what_was_cut_without_waste_goes_back() {
    let inch_m = 0.0254;
    // Thirty rolls of 600 inches in whole inches; an inch is a whole number of units.
    let parts: [[u32; 7]; 5] = [
        [76, 76, 96, 96, 120, 76, 60],
        [120, 120, 120, 120, 60, 60, 0],
        [96, 96, 96, 96, 96, 60, 60],
        [76, 76, 76, 76, 76, 120, 100],
        [100, 100, 100, 100, 120, 80, 0],
    ];
    let mut pairs: Vec<(f64, u32)> = Vec::new();
    for part in parts.iter().flatten().filter(|p| **p > 0) {
        pairs.push((f64::from(*part) * inch_m, 6));
    }
    assert!(parts.iter().all(|p| p.iter().sum::<u32>() == 600));
    assert_eq!(rolls_used(&pairs, 600.0 * inch_m), (30, 0.0));
}

/// Two sheets across a roll, in whole and in part turned: one roll, nothing left.
#[test]
fn turned_sheets_fill_a_roll() {
    let demands = covers(&[(2.0, 5.0, 2), (4.0, 1.5, 2), (1.0, 7.0, 4)]);
    let rolls = cloth(&[(4.0, 15.0, Some(40.0), None)]);
    let layout = sheets::cut(&demands, &rolls, &Microlp).expect("a cut").remove(0);
    assert_eq!((layout.rolls.len(), layout.rolls[0].offcut_m), (1, 0.0));
    // Five metres, seven metres, twice one and a half.
    let strips: Vec<f64> = layout.rolls[0].strips.iter().map(|s| s.length_m).collect();
    assert_eq!(strips, [7.0, 5.0, 1.5, 1.5]);
    assert!(layout.rolls[0].strips.iter().all(|s| s.offcut_width_m == 0.0));
}

/// Each cloth is cut from its own rolls.
#[test]
fn cloths_are_kept_apart() {
    let mut demands = covers(&[(2.0, 5.0, 3), (2.0, 5.0, 1)]);
    demands[1].material = 7;
    let mut rolls = cloth(&[(2.0, 10.0, Some(9.0), None), (2.0, 50.0, None, None)]);
    rolls[1].material = 7;
    let layouts = sheets::cut(&demands, &rolls, &Microlp).expect("cuts");
    let found: Vec<_> = layouts.iter().map(|l| (l.material, l.rolls.len(), l.proof.cost)).collect();
    assert_eq!(found, [(0, 2, Some(18.0)), (7, 1, None)]);
}

/// A roll at hand costs nothing and is used first, but no more of them than needed.
#[test]
fn rolls_at_hand_come_first_and_are_not_wasted() {
    let rolls = wire(&[(10.0, Some(0.0), Some(5)), (30.0, Some(20.0), None)]);
    let layout = lengths::cut(&wanted(&[(2.5, 8)]), &rolls, 0.0, &Microlp).expect("a cut");
    assert_eq!((layout.rolls.len(), layout.proof.cost, layout.proof.gap), (2, Some(0.0), 0.0));
    let layout = lengths::cut(&wanted(&[(2.5, 24)]), &rolls, 0.0, &Microlp).expect("a cut");
    assert_eq!((layout.proof.cost, layout.proof.gap), (Some(20.0), 0.0));
}

/// A cut that spoils a centimetre: four of 2.49 m still come from ten metres, four of 2.5 m do not.
#[test]
fn cuts_spoil_wire_but_not_at_the_end() {
    let rolls = wire(&[(10.0, None, None)]);
    let used = |length_m: f64| {
        let layout = lengths::cut(&wanted(&[(length_m, 4)]), &rolls, 0.01, &Microlp);
        layout.expect("a cut").rolls.len()
    };
    assert_eq!((used(2.49), used(2.4925), used(2.5)), (1, 1, 2));
    assert_eq!(lengths::cut(&[], &rolls, 0.0, &Microlp).expect("nothing").rolls.len(), 0);
}

#[test]
fn faults_of_the_grower_are_named() {
    let two = [(10.0, None, None), (15.0, Some(3.0), Some(1))];
    let fault = |pairs: &[(f64, u32)], kerf_m: f64| {
        lengths::cut(&wanted(pairs), &wire(&two), kerf_m, &Microlp)
            .expect_err("a fault")
            .to_string()
    };
    assert_eq!(
        fault(&[(16.0, 1)], 0.0),
        "`hoop of 16 m` is 16 m long, longer than the longest roll: `wire of 15 m` has 15 m"
    );
    assert_eq!(fault(&[(12.0, 3)], 0.0), "the rolls are not enough: 2 of `hoop of 12 m` left over");
    assert!(fault(&[(-1.0, 1)], 0.0).contains("must be more than 0"));
    assert!(fault(&[(f64::NAN, 1)], 0.0).contains("must be more than 0"));
    assert!(fault(&[(1.0, u32::MAX)], 0.0).contains("at most 10000"));
    assert!(fault(&[(1.0, 1)], f64::NAN).contains("spoils NaN m"));
    let none = lengths::cut(&wanted(&[(1.0, 1)]), &[], 0.0, &Microlp);
    assert!(matches!(none, Err(CutError::NoRoll { .. })));
    let dear = lengths::cut(&[], &wire(&[(1.0, Some(-1.0), None)]), 0.0, &Microlp);
    assert!(matches!(dear, Err(CutError::BadPrice { .. })));
    let wide = sheets::cut(&covers(&[(3.0, 4.0, 1)]), &cloth(&[(2.0, 50.0, None, None)]), &Microlp);
    let said = "`sheet of 3 by 4 m` of 3 m by 4 m fits on no roll of its cloth, along or across: ";
    let rest = "the widest, `cloth of 2 by 50 m`, has 2 m by 50 m";
    assert_eq!(wide.expect_err("a fault").to_string(), format!("{said}{rest}"));
}

/// The check sees each kind of fault in an answer.
#[test]
fn a_wrong_answer_is_seen() {
    let demands = wanted(&[(2.0, 4), (3.0, 2)]);
    let rolls = wire(&[(10.0, Some(5.0), Some(2))]);
    let right = lengths::cut(&demands, &rolls, 0.0, &Microlp).expect("a cut");
    let spoil: [fn(&mut lengths::Layout); 9] = [
        |l| l.rolls[0].pieces.truncate(1),
        |l| l.rolls[0].pieces[1].from_m -= 0.01,
        |l| l.rolls[0].pieces[0].length_m += 0.01,
        |l| l.rolls[0].pieces[0].demand ^= 1,
        |l| l.rolls[0].offcut_m += 0.5,
        |l| l.proof.bought += 1.0,
        |l| l.proof.cost = Some(4.0),
        |l| l.proof.at_least -= 1.0,
        |l| l.rolls.extend(l.rolls.clone()),
    ];
    for (k, wrong) in spoil.iter().enumerate() {
        let mut layout = right.clone();
        wrong(&mut layout);
        assert!(lengths::verify(&demands, &rolls, 0.0, &layout).is_err(), "fault {k}");
    }
    let demands = covers(&[(1.0, 4.0, 4), (2.0, 3.0, 1)]);
    let rolls = cloth(&[(2.0, 20.0, Some(5.0), None)]);
    let right = sheets::cut(&demands, &rolls, &Microlp).expect("a cut");
    let spoil: [fn(&mut sheets::Layout); 9] = [
        |l| l.rolls[0].strips.truncate(1),
        |l| l.rolls[0].strips[0].places[1].across_from_m = 0.0,
        |l| l.rolls[0].strips[1].from_m -= 1.0,
        |l| l.rolls[0].strips[0].places[0].turned ^= true,
        |l| l.rolls[0].strips[0].offcut_width_m += 0.1,
        |l| l.rolls[0].strips[0].places[0].along_from_m += 0.1,
        |l| l.rolls[0].offcut_m = 0.0,
        |l| l.material = 3,
        |l| l.proof.gap = 0.5,
    ];
    for (k, wrong) in spoil.iter().enumerate() {
        let mut layouts = right.clone();
        wrong(&mut layouts[0]);
        assert!(sheets::verify(&demands, &rolls, &layouts).is_err(), "fault {k}");
    }
}
