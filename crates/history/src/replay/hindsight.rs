//! The cheapest way through a whole season for one bed, all its nights known.

/// One night's choices: what it would leave lost of the bed, money, and what its work costs, money; the first is open.
pub type Night = Vec<(f64, f64)>;

/// The cheapest level of loss and what it costs with its work; (0, 0) without nights.
///
/// What is lost stays lost, so that a season loses as much as its worst night: min over L of L + Σ_n work of the cheapest
/// choice with loss ≤ L. Every L that matters is the loss of some choice; one sweep over them in order.
/// Exact for one bed with sheets and minutes enough; with one planting in it, or with all standing as long.
/// Checked by `replay::hindsight_agrees_with_every_way_there_is`.
/// Equation 50 of docs/science.md.
#[must_use]
pub fn cheapest_level(nights: &[Night]) -> (f64, f64) {
    let mut events: Vec<(f64, usize, f64)> = nights
        .iter()
        .enumerate()
        .flat_map(|(n, night)| night.iter().map(move |(loss, work)| (*loss, n, *work)))
        .collect();
    events.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut work: Vec<Option<f64>> = vec![None; nights.len()];
    let (mut without, mut total) = (nights.len(), 0.0);
    let mut best: Option<(f64, f64)> = None;
    for (i, (loss, n, cost)) in events.iter().enumerate() {
        match work[*n] {
            None => {
                without -= 1;
                total += cost;
                work[*n] = Some(*cost);
            }
            Some(w) if *cost < w => {
                total += cost - w;
                work[*n] = Some(*cost);
            }
            Some(_) => {}
        }
        let last_of_its_level = events.get(i + 1).is_none_or(|e| e.0 > *loss);
        if without == 0 && last_of_its_level && best.is_none_or(|b| loss + total < b.1) {
            best = Some((*loss, loss + total));
        }
    }
    best.unwrap_or((0.0, 0.0))
}
