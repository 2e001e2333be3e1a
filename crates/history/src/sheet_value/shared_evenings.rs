//! Which beds want covers on the same evenings: beds that never do can share a sheet.

use std::collections::BTreeSet;

use purchase::kit::SLOTS;

/// Some beds, or wants, by index.
pub type BedSet = BTreeSet<usize>;

/// The sets that are part of no other, no more of them than can be told apart.
///
/// Evenings alike count once; an evening on which no more is wanted than on another asks for nothing further. Beyond
/// [`SLOTS`] sets the least are joined to those they add least to: then more is asked for than any evening wants, never less.
/// Checked by `sheet_value::the_program_is_the_best_of_every_set`.
#[must_use]
pub fn largest_sets(evenings: impl Iterator<Item = BedSet>) -> Vec<BedSet> {
    let mut sets: Vec<BedSet> = evenings.collect::<BTreeSet<_>>().into_iter().collect();
    sets = largest(sets);
    while sets.len() > SLOTS as usize {
        let Some(last) = sets.pop() else { break };
        let added = |s: &&mut BedSet| last.difference(s).count();
        if let Some(near) = sets.iter_mut().min_by_key(added) {
            near.extend(last);
        }
        sets = largest(sets);
    }
    sets
}

/// Largest first, without those that are part of another.
fn largest(mut sets: Vec<BedSet>) -> Vec<BedSet> {
    sets.sort_by(|a, b| b.len().cmp(&a.len()).then_with(|| a.cmp(b)));
    let mut kept: Vec<BedSet> = Vec::new();
    for set in sets.into_iter().filter(|s| !s.is_empty()) {
        if !kept.iter().any(|k| set.is_subset(k)) {
            kept.push(set);
        }
    }
    kept
}

/// One bit for each set that has the index.
#[must_use]
pub fn membership_bits(sets: &[BedSet], index: usize) -> u128 {
    let with = sets.iter().enumerate().filter(|(_, c)| c.contains(&index));
    with.fold(0, |bits, (k, _)| bits | 1 << k)
}
