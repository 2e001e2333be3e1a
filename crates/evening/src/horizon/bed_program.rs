//! One bed by itself at given prices: an exact dynamic program over its states and the lattice.

use crate::horizon::prices::Prices;
use crate::horizon::problem::{Bed, Move, Problem};

/// By move of a decision, whether it keeps within the limits alone; leaving what lies always does.
fn fits(problem: &Problem, bed: &Bed, t: usize) -> Vec<bool> {
    let limits = problem.decisions[t];
    let enough = |state: usize| {
        bed.holds[state].iter().all(|h| bed.held(state, h.0) <= problem.available[h.0])
    };
    let states: Vec<bool> = (0..bed.holds.len()).map(enough).collect();
    let alone =
        |m: &Move| m.from == m.to && m.seconds == 0 || m.seconds <= limits.seconds && states[m.to];
    bed.moves(limits.part).iter().map(alone).collect()
}

/// What one bed's future costs at given prices, from every state and node, and the best moves.
#[derive(Clone, Debug, Default)]
pub struct BedProgram {
    /// `value[decision][state · nodes + node]`: before the decision, prices counted.
    pub value: Vec<Vec<f64>>,
    /// `after[decision][state after · nodes + node]`: expected value at the next decision.
    pub after: Vec<Vec<f64>>,
    /// The best move of each state and node, laid out as `value`.
    best: Vec<Vec<usize>>,
    /// By decision and move, whether it could be done were this the only bed.
    fits: Vec<Vec<bool>>,
    /// Price of what each state holds, by node, and of a second's work, at the decision being solved: room that is used again.
    rent: Vec<f64>,
    pay: Vec<f64>,
}

impl BedProgram {
    /// Room for a bed's program.
    #[must_use]
    pub fn new(problem: &Problem, bed: &Bed) -> Self {
        let size = |t: usize| bed.holds.len() * problem.lattice.nodes(t);
        let times = 0..problem.decisions.len();
        Self {
            value: times.clone().map(|t| vec![0.0; size(t)]).collect(),
            after: times.clone().map(|t| vec![0.0; size(t)]).collect(),
            best: times.clone().map(|t| vec![0; size(t)]).collect(),
            fits: times.map(|t| fits(problem, bed, t)).collect(),
            ..Self::default()
        }
    }

    /// Works the program out, last decision first; of equal moves the first is taken.
    ///
    /// V_t(s, n) = min_m c_t(m, n) + (w + λ_time) seconds + Σ_r λ_tr(n) held_r(s′) + E[V_{t+1}(s″, n′) | n], money;
    /// over moves that keep within the limits alone. Checked by `horizon::where_nothing_is_short_bound_exact_and_plan_are_one`.
    /// Equation 73 of docs/science.md.
    pub fn solve(&mut self, problem: &Problem, bed: &Bed, prices: &Prices) {
        let states = bed.holds.len();
        for t in (0..problem.decisions.len()).rev() {
            let nodes = problem.lattice.nodes(t);
            self.look_ahead(problem, bed, t);
            let rent = &mut self.rent;
            rent.clear();
            rent.resize(states * nodes, 0.0);
            for (s, holds) in bed.holds.iter().enumerate() {
                for (line, units) in holds {
                    for n in 0..nodes {
                        rent[s * nodes + n] += f64::from(*units) * prices.price(t, n, *line);
                    }
                }
            }
            let second =
                |n| problem.wage_per_second() + prices.price(t, n, problem.available.len());
            self.pay.clear();
            self.pay.extend((0..nodes).map(second));
            let (value, best, after) = (&mut self.value[t], &mut self.best[t], &self.after[t]);
            value.fill(f64::INFINITY);
            let moves = bed.moves(problem.decisions[t].part).iter().zip(&self.fits[t]);
            let costs = bed.costs[t].chunks_exact(nodes);
            for ((m, (it, fits)), costs) in moves.enumerate().zip(costs) {
                if !fits {
                    continue;
                }
                let seconds = f64::from(it.seconds);
                let to = it.to * nodes..(it.to + 1) * nodes;
                let from = it.from * nodes..(it.from + 1) * nodes;
                let ahead = rent[to.clone()].iter().zip(&after[to]);
                let kept = value[from.clone()].iter_mut().zip(&mut best[from]);
                for (((cost, pay), (rent, after)), (least, chosen)) in
                    costs.iter().zip(&self.pay).zip(ahead).zip(kept)
                {
                    let cost = cost + seconds * pay + rent + after;
                    if cost < *least {
                        (*least, *chosen) = (cost, m);
                    }
                }
            }
        }
    }

    /// Expected value of the next decision for each state left and node.
    fn look_ahead(&mut self, problem: &Problem, bed: &Bed, t: usize) {
        let (nodes, next) = (problem.lattice.nodes(t), problem.lattice.nodes(t + 1));
        let Some(later) = self.value.get(t + 1) else { return };
        for s in 0..bed.holds.len() {
            for (n, steps) in problem.lattice.steps[t].iter().enumerate() {
                self.after[t][s * nodes + n] = steps
                    .iter()
                    .map(|step| {
                        let found = bed.found(t, s, next, step.to);
                        step.chance * later[found * next + step.to]
                    })
                    .sum();
            }
        }
    }

    /// Value of the bed from now.
    #[must_use]
    pub fn from_now(&self, bed: &Bed) -> f64 {
        self.value.first().and_then(|v| v.get(bed.start)).copied().unwrap_or(0.0)
    }

    /// The best move of a state at a node.
    #[must_use]
    pub fn best(&self, decision: usize, state: usize, nodes: usize, node: usize) -> usize {
        self.best[decision][state * nodes + node]
    }

    /// Chance of each node times what the best moves are expected to use there; laid out as the prices.
    #[must_use]
    pub fn use_expected(&self, problem: &Problem, bed: &Bed, prices: &Prices) -> Vec<f64> {
        let mut used = vec![0.0; prices.len()];
        let mut here = vec![0.0; bed.holds.len()];
        here[bed.start] = 1.0;
        for (t, decision) in problem.decisions.iter().enumerate() {
            let (nodes, next) = (problem.lattice.nodes(t), problem.lattice.nodes(t + 1));
            let mut later = vec![0.0; bed.holds.len() * next];
            for (at, chance) in here.iter().enumerate().filter(|c| *c.1 > 0.0) {
                let n = at % nodes;
                let it = bed.moves(decision.part)[self.best[t][at]];
                for (line, units) in &bed.holds[it.to] {
                    used[prices.place(t, n, *line)] += chance * f64::from(*units);
                }
                used[prices.place(t, n, problem.available.len())] += chance * f64::from(it.seconds);
                for step in &problem.lattice.steps[t][n] {
                    let found = bed.found(t, it.to, next, step.to);
                    later[found * next + step.to] += chance * step.chance;
                }
            }
            here = later;
        }
        used
    }
}
