//! The check of a cut against its question; it works in metres and knows nothing of how the cut was found.

use crate::cut::error::CutError;
use crate::cut::units::Proof;
use crate::cut::{lengths, sheets};

/// Rounding in sums of metres, m: a hundredth of the finest cut.
const SAME_M: f64 = 1e-6;

/// Fails with the words when a rule is broken.
fn must(holds: bool, otherwise: impl FnOnce() -> String) -> Result<(), CutError> {
    if holds { Ok(()) } else { Err(CutError::Bug(otherwise())) }
}

/// Each demand met exactly, pieces in order and apart by the kerf and inside their rolls, no roll used that is not
/// there, offcuts and costs that add up. Checked by `cut_known::a_wrong_answer_is_seen`.
///
/// # Errors
/// [`CutError::Bug`] says which rule is broken.
pub fn lengths(
    demands: &[lengths::Demand],
    rolls: &[lengths::Roll],
    kerf_m: f64,
    layout: &lengths::Layout,
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

/// Size, price and number of a kind of roll.
type Kind = (f64, Option<f64>, Option<u32>);

/// No more rolls than there are, and sums that are right.
fn books(used: &[usize], kinds: &[Kind], proof: &Proof) -> Result<(), CutError> {
    let mut bought = 0.0;
    let mut paid = 0.0;
    for (k, (size, price, at_most)) in kinds.iter().enumerate() {
        let n = used.iter().filter(|r| **r == k).count();
        must(at_most.is_none_or(|m| n <= m as usize), || format!("{n} rolls of kind {k}"))?;
        bought += n as f64 * size;
        paid += n as f64 * price.unwrap_or(0.0);
    }
    let close = |a: f64, b: f64| (a - b).abs() <= 1e-9 * a.abs().max(1.0);
    must(close(proof.bought, bought), || format!("{} bought, not {bought}", proof.bought))?;
    must(proof.cost.is_none_or(|c| close(c, paid)), || {
        format!("{:?} paid, not {paid}", proof.cost)
    })?;
    let total = proof.cost.unwrap_or(bought);
    let gap = if total > 0.0 { (total - proof.at_least) / total } else { 0.0 };
    let right = (gap - proof.gap).abs() <= 1e-9 && (0.0..=1.0).contains(&proof.gap);
    must(right, || format!("a gap of {}, not {gap}", proof.gap))
}

/// Each demand met exactly, no two sheets over one another, each inside its strip and roll and cloth, strips apart, no
/// roll used that is not there, offcuts and costs that add up. Checked by `cut_known::a_wrong_answer_is_seen`.
///
/// # Errors
/// [`CutError::Bug`] says which rule is broken.
pub fn sheets(
    demands: &[sheets::Demand],
    rolls: &[sheets::Roll],
    layouts: &[sheets::Layout],
) -> Result<(), CutError> {
    let mut given = vec![0_u32; demands.len()];
    for layout in layouts {
        for cut in &layout.rolls {
            let roll = &rolls[cut.roll];
            must(roll.material == layout.material, || format!("{} is another cloth", roll.name))?;
            one_roll(demands, roll, cut)?;
            for place in cut.strips.iter().flat_map(|s| &s.places) {
                given[place.demand] += 1;
            }
        }
        let used: Vec<usize> = layout.rolls.iter().map(|r| r.roll).collect();
        let kind = |r: &sheets::Roll| (r.width_m * r.length_m, r.price, r.at_most);
        books(&used, &rolls.iter().map(kind).collect::<Vec<_>>(), &layout.proof)?;
    }
    for (demand, given) in demands.iter().zip(given) {
        let wanted = demand.count;
        must(given == wanted, || format!("{given} of {}, not {wanted}", demand.name))?;
    }
    Ok(())
}

/// The sheets of one roll.
fn one_roll(
    demands: &[sheets::Demand],
    roll: &sheets::Roll,
    cut: &sheets::CutRoll,
) -> Result<(), CutError> {
    let mut end = 0.0;
    for strip in &cut.strips {
        must(strip.from_m >= end - SAME_M, || "two strips overlap".into())?;
        must(!strip.places.is_empty(), || "a strip is cut for nothing".into())?;
        end = strip.from_m + strip.length_m;
        let mut wide = 0.0_f64;
        for place in &strip.places {
            let d = &demands[place.demand];
            let cloth = d.material == roll.material;
            must(cloth, || format!("{} is of another cloth", d.name))?;
            let size = (place.across_m, place.along_m);
            let turned =
                if place.turned { (d.length_m, d.width_m) } else { (d.width_m, d.length_m) };
            must(size == turned, || format!("a wrong {}", d.name))?;
            let (right, far) = (place.across_from_m + size.0, place.along_from_m + size.1);
            let inside = (place.along_from_m - strip.from_m).abs() <= SAME_M
                && far <= end + SAME_M
                && place.across_from_m >= 0.0
                && right <= roll.width_m + SAME_M;
            must(inside, || format!("{} is outside its strip", d.name))?;
            wide = wide.max(right);
        }
        let left = (roll.width_m - wide).max(0.0);
        must((strip.offcut_width_m - left).abs() <= 2e-4, || format!("not {left} m beside"))?;
    }
    must(!cut.strips.is_empty(), || format!("{} is cut for nothing", roll.name))?;
    must(end <= roll.length_m + SAME_M, || format!("{} is too short", roll.name))?;
    let left = (roll.length_m - end).max(0.0);
    must((cut.offcut_m - left).abs() <= 2e-4, || format!("not {left} m at the end"))?;
    let places: Vec<&sheets::Place> = cut.strips.iter().flat_map(|s| &s.places).collect();
    for (k, a) in places.iter().enumerate() {
        let clear = places[..k].iter().all(|b| apart(a, b));
        must(clear, || format!("{} lies on another", demands[a.demand].name))?;
    }
    Ok(())
}

/// Whether two rectangles share no area.
fn apart(a: &sheets::Place, b: &sheets::Place) -> bool {
    let beside = |a_from: f64, a_m: f64, b_from: f64, b_m: f64| {
        a_from + a_m <= b_from + SAME_M || b_from + b_m <= a_from + SAME_M
    };
    beside(a.across_from_m, a.across_m, b.across_from_m, b.across_m)
        || beside(a.along_from_m, a.along_m, b.along_from_m, b.along_m)
}
