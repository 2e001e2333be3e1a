//! Cost and gap of several nights as one plan against beds and nights, on invented gardens: prints a table.

use std::time::Instant;

use evening::horizon::{Bed, Decision, Lattice, Move, Part, Problem, Settings, Step, plan};
use milp::Microlp;
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

/// How cold a night may be found to be, against what is usual for it.
const LEVELS: usize = 5;

/// Cover kinds: kelvins kept, share of light taken, heat harm of a sunny day shut, person-minutes to lay.
const KINDS: [(f64, f64, f64, f64); 3] =
    [(1.5, 0.10, 0.0, 4.0), (3.0, 0.30, 0.0, 5.0), (2.5, 0.10, 0.25, 7.0)];

/// Shut, ends open, half off: share of the kelvins, of the light taken, of the heat harm.
const MODES: [(f64, f64, f64); 3] = [(1.0, 1.0, 1.0), (0.6, 1.0, 0.2), (0.1, 0.4, 0.0)];

/// What lies in a state: nothing, or a kind in a mode.
fn lies(state: usize) -> Option<(usize, usize)> {
    state.checked_sub(1).map(|s| (s / MODES.len(), s % MODES.len()))
}

fn moves() -> Vec<Move> {
    let states = 1 + KINDS.len() * MODES.len();
    let mut all = Vec::new();
    for from in 0..states {
        all.push(Move { from, to: from, seconds: 0 });
        for to in (0..states).filter(|to| *to != from) {
            let minutes = match (lies(from), lies(to)) {
                (None, Some((kind, _))) => KINDS[kind].3,
                (Some((kind, _)), None) => 0.5 * KINDS[kind].3,
                (Some(a), Some(b)) if a.0 == b.0 => 1.0,
                (Some(a), Some(b)) => 0.5 * KINDS[a.0].3 + KINDS[b.0].3,
                (None, None) => 0.0,
            };
            all.push(Move { from, to, seconds: (60.0 * (1.0 + minutes)) as u32 });
        }
    }
    all
}

/// A night is found as the chain has it; the evening after, the forecast of the next is near it.
fn lattice(nights: usize) -> Lattice {
    let row = |from: usize, spread: f64| -> Vec<Step> {
        let weight = |to: usize| (-((to as f64 - from as f64) / spread).powi(2)).exp();
        let sum: f64 = (0..LEVELS).map(weight).sum();
        (0..LEVELS).map(|to| Step { to, chance: weight(to) / sum }).collect()
    };
    let mut steps = vec![vec![row(LEVELS / 2, 1.0)]];
    for t in 1..2 * nights {
        let spread = if t % 2 == 0 { 0.8 } else { 1.2 };
        let last = t + 1 == 2 * nights;
        steps.push((0..LEVELS).map(|n| if last { vec![] } else { row(n, spread) }).collect());
    }
    Lattice { steps }
}

fn bed(random: &mut Xoshiro256PlusPlus, lattice: &Lattice, usual: &[f64]) -> Bed {
    let states = 1 + KINDS.len() * MODES.len();
    let worth: f64 = random.random_range(40.0..400.0);
    let stands: f64 = random.random_range(-4.0..1.0);
    let flowers = random.random_bool(0.2);
    let size = random.random_range(0..2_usize);
    let metres = random.random_range(4..=12_u32);
    let holds = (0..states).map(|s| match lies(s) {
        None => Vec::new(),
        Some((kind, mode)) => {
            let pins = if mode == 2 { metres } else { 2 * metres };
            vec![(2 * kind + size, 1), (6, pins), (7, if kind == 2 { metres } else { 0 })]
        }
    });
    let moves = moves();
    let lost = |t: usize, node: usize, to: usize| -> f64 {
        let level = if t == 0 { 0.0 } else { node as f64 - (LEVELS / 2) as f64 };
        let (kept, light, heat) = lies(to).map_or((0.0, 0.0, 0.0), |(kind, mode)| {
            let (k, m) = (KINDS[kind], MODES[mode]);
            (k.0 * m.0, k.1 * m.1, k.2 * m.2)
        });
        if t.is_multiple_of(2) {
            let coldest = usual[t / 2] + 1.5 * level + kept;
            worth / (1.0 + (1.2 * (coldest - stands)).exp())
        } else {
            let bees = if flowers && light > 0.0 { 0.03 } else { 0.0 };
            worth * (0.02 * light + heat * 0.4 + bees)
        }
    };
    let costs = (0..lattice.decisions()).map(|t| {
        let nodes = 0..lattice.nodes(t);
        moves
            .iter()
            .flat_map(|m| nodes.clone().map(|n| lost(t, n, m.to)).collect::<Vec<_>>())
            .collect()
    });
    Bed {
        holds: holds.collect(),
        start: 0,
        costs: costs.collect(),
        evening: moves.clone(),
        morning: moves,
        becomes: Vec::new(),
    }
}

fn garden(beds: usize, nights: usize, seed: u64) -> Problem {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(seed);
    let lattice = lattice(nights);
    let usual: Vec<f64> = (0..nights).map(|_| random.random_range(-4.0..2.0)).collect();
    let many = beds as u32;
    let part = |t: usize| if t.is_multiple_of(2) { Part::Evening } else { Part::Morning };
    Problem {
        beds: (0..beds).map(|_| bed(&mut random, &lattice, &usual)).collect(),
        decisions: (0..2 * nights)
            .map(|t| Decision { part: part(t), seconds: many * if t % 2 == 0 { 150 } else { 100 } })
            .collect(),
        lattice,
        available: vec![
            many / 5,
            many / 6,
            many / 8,
            many / 8,
            many / 10,
            many / 12,
            8 * many,
            2 * many,
        ],
        wage_per_minute: 0.3,
    }
}

fn main() {
    let whole = std::env::args().any(|a| a == "--bench");
    let sizes: &[(usize, usize)] = if whole {
        &[(12, 1), (12, 7), (60, 1), (60, 7), (240, 1), (240, 7)]
    } else {
        &[(12, 1), (12, 7)]
    };
    println!(
        "| beds | nights | gap, % | standard error, % | cost | prices alone, s | whole, s | steps |"
    );
    println!("|---|---|---|---|---|---|---|---|");
    for (beds, nights) in sizes {
        for seed in 0..if whole && *beds < 240 { 3 } else { 1 } {
            let problem = garden(*beds, *nights, seed);
            let settings = Settings::default();
            let begun = Instant::now();
            let dual = evening::horizon::dual::search(&problem, settings.steps);
            let prices = begun.elapsed().as_secs_f64();
            let begun = Instant::now();
            let Ok(found) = plan(&problem, settings, &Microlp) else { continue };
            println!(
                "| {beds} | {nights} | {:.2} | {:.2} | {:.0} | {prices:.2} | {:.2} | {} |",
                100.0 * found.gap(),
                100.0 * found.worth.standard_error / found.worth.cost,
                found.worth.cost,
                begun.elapsed().as_secs_f64(),
                dual.steps,
            );
        }
    }
}
