//! The check of a cut of wire against its question.

use crate::cut::error::CutError;
use crate::cut::lengths::layout::{Demand, Layout, Roll};
use crate::cut::rules::{Kind, SAME_M, books, must};

/// Each demand met exactly, pieces in order and apart by the kerf and inside their rolls, no roll used that is not
/// there, offcuts and costs that add up. Checked by `cut_known::a_wrong_answer_is_seen`.
///
/// # Errors
/// [`CutError::Bug`] says which rule is broken.
pub fn verify(
    demands: &[Demand],
    rolls: &[Roll],
    kerf_m: f64,
    layout: &Layout,
) -> Result<(), CutError> {
    let mut given = vec![0_u32; demands.len()];
    for cut in &layout.rolls {
        let mut end = 0.0;
        for piece in &cut.pieces {
            let demand = &demands[piece.demand];
            given[piece.demand] += 1;
            must(piece.length_m == demand.length_m, || format!("a wrong {}", demand.name))?;
            must(piece.from_m >= end - SAME_M, || format!("{} overlaps", demand.name))?;
            end = piece.from_m + piece.length_m + kerf_m;
        }
        let roll = &rolls[cut.roll];
        must(!cut.pieces.is_empty(), || format!("{} is cut for nothing", roll.name))?;
        must(end - kerf_m <= roll.length_m + SAME_M, || format!("{} is too short", roll.name))?;
        // Each piece may take a tenth of a millimetre more than was asked, and the kerf as much.
        let rounding = 2e-4 * cut.pieces.len() as f64 + SAME_M;
        let left = (roll.length_m - end).max(0.0);
        let adds_up = cut.offcut_m <= left + SAME_M && cut.offcut_m >= left - rounding;
        must(adds_up, || format!("an offcut of {} m, not {left}", cut.offcut_m))?;
    }
    for (demand, given) in demands.iter().zip(given) {
        let wanted = demand.count;
        must(given == wanted, || format!("{given} of {}, not {wanted}", demand.name))?;
    }
    let used: Vec<usize> = layout.rolls.iter().map(|r| r.roll).collect();
    let kinds: Vec<Kind> = rolls.iter().map(|r| (r.length_m, r.price, r.at_most)).collect();
    books(&used, &kinds, &layout.proof)
}
