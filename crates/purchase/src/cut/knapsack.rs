//! One length to fill: the most valuable filling, and every full filling that is worth enough.

/// A kind of thing to fill with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Item {
    /// Size, > 0.
    pub size: u64,
    /// Value of one, ≥ 0.
    pub value: f64,
    /// How many at most.
    pub most: u32,
}

/// The most valuable filling.
#[derive(Clone, Debug, PartialEq)]
pub struct MostValuable {
    /// How many of each item.
    pub counts: Vec<u32>,
    /// No filling is worth more: the value of this one, unless the search was cut short.
    pub at_most: f64,
}

/// A partial filling; where it came from is in the trail.
#[derive(Clone, Copy)]
struct State {
    size: u64,
    value: f64,
    trail: u32,
}

/// One step of a filling: what came before, and how many of which item were added.
struct Step {
    before: u32,
    item: usize,
    times: u32,
}

/// Steps remembered at most.
const MOST_STEPS: usize = 100_000;

/// The bounded knapsack by dynamic programming over lists of undominated fillings, best value for its size first.
///
/// maximise Σ value · n, Σ size · n ≤ capacity, 0 ≤ n ≤ most. Fillings that even filled up in proportion cannot reach
/// the best found are dropped. Checked by `cut::every_small_case_in_one_dimension`.
pub fn most_valuable(items: &[Item], capacity: u64) -> MostValuable {
    let order = by_ratio(items, capacity);
    let ratio = |k: usize| order.get(k).map_or(0.0, |i| items[*i].value / items[*i].size as f64);
    let mut trail = vec![Step { before: 0, item: 0, times: 0 }];
    let mut front = vec![State { size: 0, value: 0.0, trail: 0 }];
    let mut reached = greedy(items, &order, capacity);
    for (k, i) in order.iter().enumerate() {
        let item = &items[*i];
        let mut left = u64::from(item.most).min(capacity / item.size);
        let mut times = 1;
        while left > 0 {
            if trail.len() + front.len() > MOST_STEPS {
                let room = |s: &State| s.value + (capacity - s.size) as f64 * ratio(k);
                let at_most = front.iter().map(room).fold(0.0, f64::max);
                return MostValuable { counts: counts_of(items.len(), &trail, &front), at_most };
            }
            times = left.min(times);
            let step = (*i, times as u32, item.size * times, item.value * times as f64);
            front = merged(&front, step, capacity, &mut trail);
            left -= times;
            times *= 2;
        }
        reached = front.last().map_or(reached, |s| reached.max(s.value));
        let enough = reached - 1e-9 * reached.abs();
        let could = |s: &State| s.value + (capacity - s.size) as f64 * ratio(k + 1);
        front.retain(|s| could(s) >= enough);
        let at_most = front.iter().map(could).fold(0.0, f64::max);
        if front.last().is_some_and(|s| s.value >= at_most * (1.0 - 1e-9)) {
            return MostValuable { counts: counts_of(items.len(), &trail, &front), at_most };
        }
    }
    let at_most = front.last().map_or(0.0, |s| s.value);
    MostValuable { counts: counts_of(items.len(), &trail, &front), at_most }
}

/// Items that fit and are worth something, best value for their size first.
fn by_ratio(items: &[Item], capacity: u64) -> Vec<usize> {
    let ratio = |i: &usize| items[*i].value / items[*i].size as f64;
    let useful = |i: &usize| items[*i].value > 0.0 && items[*i].size <= capacity;
    let mut order: Vec<usize> = (0..items.len()).filter(useful).collect();
    order.sort_by(|a, b| ratio(b).total_cmp(&ratio(a)));
    order
}

/// Value of the filling that takes as many as it can of each item in turn.
fn greedy(items: &[Item], order: &[usize], capacity: u64) -> f64 {
    let mut room = capacity;
    let mut value = 0.0;
    for i in order {
        let n = (room / items[*i].size).min(u64::from(items[*i].most));
        room -= n * items[*i].size;
        value += n as f64 * items[*i].value;
    }
    value
}

/// The list with and without one more step, without what is larger and worth no more than another.
fn merged(
    front: &[State],
    (item, times, size, value): (usize, u32, u64, f64),
    capacity: u64,
    trail: &mut Vec<Step>,
) -> Vec<State> {
    let fits = front.partition_point(|s| s.size + size <= capacity);
    let mut out: Vec<State> = Vec::with_capacity(front.len() + fits);
    let (mut a, mut b) = (0, 0);
    while a < front.len() || b < fits {
        let old = front.get(a).copied();
        let new = front[..fits].get(b).map(|s| (s.size + size, s.value + value, s.trail));
        let take_old = match (old, new) {
            (Some(o), Some(n)) => (o.size, -o.value) <= (n.0, -n.1),
            (o, _) => o.is_some(),
        };
        let best_value = out.last().map_or(f64::NEG_INFINITY, |s| s.value);
        if let (true, Some(o)) = (take_old, old) {
            a += 1;
            if o.value > best_value {
                out.push(o);
            }
        } else if let Some((size, value, before)) = new {
            b += 1;
            if value > best_value {
                out.push(State { size, value, trail: trail.len() as u32 });
                trail.push(Step { before, item, times });
            }
        }
    }
    out
}

/// How many of each item the most valuable filling of a list has.
fn counts_of(items: usize, trail: &[Step], front: &[State]) -> Vec<u32> {
    let mut counts = vec![0; items];
    let mut at = front.last().map_or(0, |s| s.trail);
    while at != 0 {
        let step = &trail[at as usize];
        counts[step.item] += step.times;
        at = step.before;
    }
    counts
}

/// Every filling worth at least `enough` to which nothing can be added; `None` when there are more than `limit`.
pub fn every_filling(
    items: &[Item],
    capacity: u64,
    enough: f64,
    limit: usize,
) -> Option<Vec<Vec<u32>>> {
    let mut order: Vec<usize> = (0..items.len()).filter(|i| items[*i].most > 0).collect();
    let ratio = |i: &usize| items[*i].value / items[*i].size as f64;
    order.sort_by(|a, b| ratio(b).total_cmp(&ratio(a)).then(items[*b].size.cmp(&items[*a].size)));
    let mut walk = Walk { items, order, enough, limit, steps: 50 * limit, found: Vec::new() };
    walk.go(0, capacity, 0.0, &mut vec![0; items.len()])?;
    Some(walk.found)
}

/// The search of [`every_filling`].
struct Walk<'a> {
    items: &'a [Item],
    order: Vec<usize>,
    enough: f64,
    limit: usize,
    steps: usize,
    found: Vec<Vec<u32>>,
}

impl Walk<'_> {
    /// From the k-th item on; `None` when it takes too long.
    fn go(&mut self, k: usize, room: u64, value: f64, counts: &mut Vec<u32>) -> Option<()> {
        self.steps = self.steps.checked_sub(1)?;
        let Some(i) = self.order.get(k).copied() else {
            let full = |i: &usize| counts[*i] == self.items[*i].most || self.items[*i].size > room;
            if value >= self.enough && self.order.iter().all(full) {
                self.found.push(counts.clone());
            }
            return (self.found.len() <= self.limit).then_some(());
        };
        let item = self.items[i];
        if value + room as f64 * (item.value / item.size as f64) < self.enough {
            return Some(());
        }
        let most = (room / item.size).min(u64::from(item.most)) as u32;
        for n in (0..=most).rev() {
            counts[i] = n;
            let size = u64::from(n) * item.size;
            self.go(k + 1, room - size, value + f64::from(n) * item.value, counts)?;
        }
        counts[i] = 0;
        Some(())
    }
}
