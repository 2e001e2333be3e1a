//! Every joint plan there is, by dynamic programming over all beds' states together: exact, for a few small beds.

use std::collections::BTreeMap;

use evening::horizon::Problem;

/// Expected cost of the best plan that looks at every bed, the node and nothing else; money.
pub fn exact(problem: &Problem) -> f64 {
    let start: Vec<usize> = problem.beds.iter().map(|b| b.start).collect();
    to_go(problem, 0, 0, &start, &mut BTreeMap::new())
}

type Known = BTreeMap<(usize, usize, Vec<usize>), f64>;

fn to_go(problem: &Problem, t: usize, node: usize, states: &[usize], known: &mut Known) -> f64 {
    if t == problem.decisions.len() {
        return 0.0;
    }
    let key = (t, node, states.to_vec());
    if let Some(value) = known.get(&key) {
        return *value;
    }
    let mut best = f64::INFINITY;
    let mut joint = Vec::new();
    try_all(problem, t, states, &mut Vec::new(), &mut joint);
    for moves in joint {
        let mut cost = 0.0;
        let mut seconds = 0_u64;
        let mut used = vec![0_u64; problem.available.len()];
        let mut after = Vec::new();
        for (bed, m) in problem.beds.iter().zip(&moves) {
            let it = bed.moves(problem.decisions[t].part)[*m];
            let nodes = problem.lattice.steps[t].len();
            cost += bed.costs[t][m * nodes + node];
            cost += problem.wage_per_minute * f64::from(it.seconds) / 60.0;
            seconds += u64::from(it.seconds);
            for (line, n) in &bed.holds[it.to] {
                used[*line] += u64::from(*n);
            }
            after.push(it.to);
        }
        let fits = used.iter().zip(&problem.available).all(|(u, a)| *u <= u64::from(*a));
        if !fits || seconds > u64::from(problem.decisions[t].seconds) {
            continue;
        }
        for step in &problem.lattice.steps[t][node] {
            let next_nodes = problem.lattice.steps[t + 1].len();
            let found: Vec<usize> = problem
                .beds
                .iter()
                .zip(&after)
                .map(|(bed, s)| match bed.becomes.get(t) {
                    Some(map) if !map.is_empty() => map[s * next_nodes + step.to],
                    _ => *s,
                })
                .collect();
            cost += step.chance * to_go(problem, t + 1, step.to, &found, known);
        }
        best = best.min(cost);
    }
    known.insert(key, best);
    best
}

fn try_all(
    problem: &Problem,
    t: usize,
    states: &[usize],
    chosen: &mut Vec<usize>,
    out: &mut Vec<Vec<usize>>,
) {
    let b = chosen.len();
    if b == states.len() {
        out.push(chosen.clone());
        return;
    }
    let moves = problem.beds[b].moves(problem.decisions[t].part);
    for m in (0..moves.len()).filter(|m| moves[*m].from == states[b]) {
        chosen.push(m);
        try_all(problem, t, states, chosen, out);
        chosen.pop();
    }
}
