//! What every cut must keep, for the checks of an answer: they work in metres and know nothing of how it was found.

use crate::cut::error::CutError;
use crate::cut::proof::Proof;

/// Rounding in sums of metres, m: a hundredth of the finest cut.
pub const SAME_M: f64 = 1e-6;

/// Fails with the words when a rule is broken.
pub fn must(holds: bool, otherwise: impl FnOnce() -> String) -> Result<(), CutError> {
    if holds { Ok(()) } else { Err(CutError::Bug(otherwise())) }
}

/// Size, price and number of a kind of roll.
pub type Kind = (f64, Option<f64>, Option<u32>);

/// No more rolls than there are, and sums that are right.
pub fn books(used: &[usize], kinds: &[Kind], proof: &Proof) -> Result<(), CutError> {
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
