//! Every cut there is, for small questions: memory and recursion, nothing in common with the program's way.

use std::collections::BTreeMap;

use purchase::cut::{lengths, sheets};

/// Price, or size when a price is missing.
fn cost(price: Option<f64>, size: f64, all_priced: bool) -> f64 {
    if all_priced { price.unwrap_or(0.0) } else { size }
}

/// What each subset of pieces (as bits) costs at least, with rolls that may run out; `holds(roll, subset)`.
fn least(
    pieces: usize,
    costs: &[f64],
    left: Vec<u32>,
    holds: &dyn Fn(usize, usize) -> bool,
) -> Option<f64> {
    fn go(
        rest: usize,
        costs: &[f64],
        left: &mut Vec<u32>,
        holds: &dyn Fn(usize, usize) -> bool,
        memory: &mut BTreeMap<(usize, Vec<u32>), Option<f64>>,
    ) -> Option<f64> {
        if rest == 0 {
            return Some(0.0);
        }
        if let Some(known) = memory.get(&(rest, left.clone())) {
            return *known;
        }
        let first = rest & rest.wrapping_neg();
        let mut best: Option<f64> = None;
        for r in 0..costs.len() {
            if left[r] == 0 {
                continue;
            }
            let others = rest ^ first;
            let mut some = others;
            loop {
                if holds(r, some | first) {
                    let there = left[r];
                    left[r] -= u32::from(there < u32::MAX);
                    let after = go(others ^ some, costs, left, holds, memory);
                    left[r] = there;
                    let total = after.map(|a| a + costs[r]);
                    best = match (best, total) {
                        (Some(b), Some(t)) => Some(b.min(t)),
                        (b, t) => b.or(t),
                    };
                }
                if some == 0 {
                    break;
                }
                some = (some - 1) & others;
            }
        }
        memory.insert((rest, left.clone()), best);
        best
    }
    go((1 << pieces) - 1, costs, &mut left.clone(), holds, &mut BTreeMap::new())
}

/// The least cost of cutting lengths, found by trying every way to share out the pieces.
pub fn lengths(demands: &[lengths::Demand], rolls: &[lengths::Roll], kerf_m: f64) -> Option<f64> {
    let each = |d: &lengths::Demand| vec![d.length_m; d.count as usize];
    let pieces: Vec<f64> = demands.iter().flat_map(each).collect();
    let priced = rolls.iter().all(|r| r.price.is_some());
    let costs: Vec<f64> = rolls.iter().map(|r| cost(r.price, r.length_m, priced)).collect();
    let chosen = |set: usize| (0..pieces.len()).filter(move |i| set >> i & 1 == 1);
    let holds = |r: usize, set: usize| {
        let long: f64 = chosen(set).map(|i| pieces[i]).sum();
        long + kerf_m * (chosen(set).count() - 1) as f64 <= rolls[r].length_m + 1e-9
    };
    let left = rolls.iter().map(|r| r.at_most.unwrap_or(u32::MAX)).collect();
    least(pieces.len(), &costs, left, &holds)
}

/// The least cost of cutting sheets of one cloth, found by trying every way to share them out, group them into strips
/// and turn them.
pub fn sheets(demands: &[sheets::Demand], rolls: &[sheets::Roll]) -> Option<f64> {
    let each = |d: &sheets::Demand| vec![(d.width_m, d.length_m); d.count as usize];
    let pieces: Vec<(f64, f64)> = demands.iter().flat_map(each).collect();
    let priced = rolls.iter().all(|r| r.price.is_some());
    let size = |r: &sheets::Roll| cost(r.price, r.width_m * r.length_m, priced);
    let costs: Vec<f64> = rolls.iter().map(size).collect();
    let sets = 1_usize << pieces.len();
    let along: Vec<Vec<f64>> = rolls
        .iter()
        .map(|roll| {
            let strip: Vec<f64> = (0..sets).map(|s| strip_m(&pieces, s, roll.width_m)).collect();
            let mut total = vec![f64::INFINITY; sets];
            total[0] = 0.0;
            for set in 1..sets {
                let first = set & set.wrapping_neg();
                let mut part = set;
                while part > 0 {
                    if part & first != 0 {
                        total[set] = total[set].min(strip[part] + total[set ^ part]);
                    }
                    part = (part - 1) & set;
                }
            }
            total
        })
        .collect();
    let holds = |r: usize, set: usize| along[r][set] <= rolls[r].length_m + 1e-9;
    let left = rolls.iter().map(|r| r.at_most.unwrap_or(u32::MAX)).collect();
    least(pieces.len(), &costs, left, &holds)
}

/// The shortest strip that holds a set side by side, every way of turning tried.
fn strip_m(pieces: &[(f64, f64)], set: usize, width_m: f64) -> f64 {
    let chosen: Vec<(f64, f64)> =
        (0..pieces.len()).filter(|i| set >> i & 1 == 1).map(|i| pieces[i]).collect();
    let mut best = f64::INFINITY;
    for turned in 0..1_usize << chosen.len() {
        let (mut across, mut along) = (0.0, 0.0_f64);
        for (i, (w, l)) in chosen.iter().enumerate() {
            let (a, b) = if turned >> i & 1 == 1 { (l, w) } else { (w, l) };
            across += a;
            along = along.max(*b);
        }
        if across <= width_m + 1e-9 {
            best = best.min(along);
        }
    }
    best
}
