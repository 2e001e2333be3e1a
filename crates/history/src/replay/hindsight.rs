//! The cheapest way through a whole season for one bed, all its nights known, covers free to lie on.

/// What a choice would leave lost of the bed, and what its work and its kept-back light cost, money.
pub type Cost = (f64, f64);

/// One night's choices; the first is open.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Night {
    /// By choice, laid this evening.
    pub laid: Vec<Cost>,
    /// By choice, lying since the night before; `None` where it cannot.
    pub kept: Vec<Option<Cost>>,
}

/// The cheapest way.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Cheapest {
    /// What the season loses.
    pub level: f64,
    /// That and everything that is paid.
    pub cost: f64,
}

/// The cheapest level of loss and what it costs with its work; nothing without nights.
///
/// What is lost stays lost, so that a season loses as much as its worst night: min over L of L + W(L), W the cheapest way
/// through the states open and lying of which no night loses more than L. W falls with L, so that no level between two
/// others costs less than the lower level and the upper one's W; such stretches are halved or left out.
/// Exact for one bed with sheets and minutes enough and one planting in it, or all standing as long; with more plantings
/// a bound from below. Checked by `replay::hindsight_agrees_with_every_way_there_is`.
/// Equation 50 of docs/science.md.
#[must_use]
pub fn cheapest(nights: &[Night]) -> Cheapest {
    let costs =
        |n: &Night| n.laid.iter().copied().chain(n.kept.iter().copied().flatten()).collect();
    let mut levels: Vec<f64> = nights.iter().flat_map::<Vec<Cost>, _>(costs).map(|c| c.0).collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup();
    let Some(last) = levels.len().checked_sub(1) else { return Cheapest::default() };
    let all = |at: usize| way(nights, levels[at]);
    let mut best = Cheapest { level: levels[last], cost: f64::INFINITY };
    let mut take = |at: usize, work: f64| {
        if levels[at] + work < best.cost {
            best = Cheapest { level: levels[at], cost: levels[at] + work };
        }
        best.cost
    };
    let (low, high) = (all(0), all(last));
    take(0, low);
    take(last, high);
    let mut stretches = vec![(0, last, high)];
    while let Some((from, to, work_to)) = stretches.pop() {
        let middle = from + (to - from) / 2;
        if middle == from || levels[from + 1] + work_to >= take(to, work_to) {
            continue;
        }
        let work = all(middle);
        take(middle, work);
        stretches.push((from, middle, work));
        stretches.push((middle, to, work_to));
    }
    best
}

/// The cheapest work of which no night loses more than `level`; infinite where there is none.
fn way(nights: &[Night], level: f64) -> f64 {
    let mut before: Vec<f64> = Vec::new();
    let mut free = 0.0;
    for night in nights {
        let within = |c: Cost| if c.0 <= level { c.1 } else { f64::INFINITY };
        let now: Vec<f64> = night
            .laid
            .iter()
            .enumerate()
            .map(|(c, laid)| {
                let kept = night.kept.get(c).copied().flatten().map_or(f64::INFINITY, within);
                let lying = before.get(c).copied().unwrap_or(f64::INFINITY);
                (free + within(*laid)).min(lying + kept)
            })
            .collect();
        free = now.iter().copied().fold(f64::INFINITY, f64::min);
        before = now;
    }
    free
}
