//! The nights as the abstract problem of [`crate::horizon`]: states, moves, costs, limits.

use garden::Garden;

use crate::horizon::{Bed, Decision, Move, Part, Problem};
use crate::lies::{self, Lies};
use crate::plan::stock;
use crate::week::courses::{self, Courses};
use crate::week::losses::{BedLosses, Began};

/// Shares of a bed that may be lost already; what a night leaves is rounded to the nearest (chosen).
pub const LOST: [f64; 5] = [0.0, 0.1, 0.3, 0.6, 0.9];

/// The problem of these beds along these courses.
///
/// A state is what lies and which share is lost already. An evening costs worth · E[(f − lost)⁺ | node], f of row 20 of
/// docs/science.md, so that what is lost once is not lost twice; a day costs what [`crate::day_cost`] says of the rest.
/// Checked by `week::one_night_is_the_evening_plan`.
#[must_use]
pub fn problem<'a>(
    garden: &Garden,
    beds: impl IntoIterator<Item = &'a BedLosses>,
    courses: &Courses,
) -> Problem {
    let lines = stock::lines(garden);
    let seconds = stock::person_seconds(garden);
    let part = |t: usize| if t.is_multiple_of(2) { Part::Evening } else { Part::Morning };
    let decisions: Vec<Decision> =
        (0..2 * courses.nights() - 1).map(|t| Decision { part: part(t), seconds }).collect();
    let bed = |b: &BedLosses| {
        let levels = reachable_levels(b);
        let evening = moves(b, levels, lies::in_the_evening);
        let morning = moves(b, levels, lies::in_the_morning);
        let (mut costs, mut becomes) = (Vec::new(), Vec::new());
        for t in 0..courses.nights() {
            costs.push(evening_costs(b, (t, levels), &evening, &courses.evening_weights[t]));
            if t + 1 == courses.nights() {
                break;
            }
            becomes.push(after_the_night(b, (t, levels), &courses.morning_nodes[t]));
            let nodes = courses::nodes(t).1;
            let by_day = |m: &Move| {
                let (lies, level) = place(levels, m.to);
                vec![b.days[t][lies] * (1.0 - LOST[level]); nodes]
            };
            costs.push(morning.iter().flat_map(by_day).collect());
            becomes.push(Vec::new());
        }
        let holds = (0..b.lies.len() * levels)
            .map(|s| lies::uses(b.lies[place(levels, s).0], &b.options, &lines))
            .collect();
        Bed { holds, start: b.start * levels, evening, morning, costs, becomes }
    };
    Problem {
        beds: beds.into_iter().map(bed).collect(),
        decisions,
        lattice: courses.lattice.clone(),
        available: lines.iter().map(|l| l.1).collect(),
        wage_per_minute: garden.labour.worth_of_hour / 60.0,
    }
}

/// So many of [`LOST`] as some course of the nights can reach: a night leaves no more lost than its worst share, rounded.
/// Checked by `week::levels_that_no_night_reaches_change_nothing`.
fn reachable_levels(bed: &BedLosses) -> usize {
    let shares = bed.laid.iter().chain(&bed.left).flatten().flatten();
    nearest(shares.fold(0.0, |worst, share| share.max(worst))) + 1
}

/// What lies in a state of a bed, as an index into its `lies`.
#[must_use]
pub fn what_lies(bed: &Bed, losses: &BedLosses, state: usize) -> usize {
    place(bed.holds.len() / losses.lies.len(), state).0
}

/// What lies, as an index into the bed's, and the level of loss, of a state: state = lies · levels + level.
fn place(levels: usize, state: usize) -> (usize, usize) {
    (state / levels, state % levels)
}

/// The moves that are allowed, leaving first.
fn moves(bed: &BedLosses, levels: usize, allowed: impl Fn(Lies, Lies) -> bool) -> Vec<Move> {
    let mut all = Vec::new();
    for (a, from) in bed.lies.iter().enumerate() {
        for level in 0..levels {
            let here = a * levels + level;
            all.push(Move { from: here, to: here, seconds: 0 });
            for (b, to) in
                bed.lies.iter().enumerate().filter(|(b, to)| *b != a && allowed(*from, **to))
            {
                let seconds = lies::seconds(*from, *to, &bed.options);
                all.push(Move { from: here, to: b * levels + level, seconds });
            }
        }
    }
    all
}

/// By move, then by node.
fn evening_costs(
    bed: &BedLosses,
    (night, levels): (usize, usize),
    moves: &[Move],
    weights: &[Vec<f64>],
) -> Vec<f64> {
    let cost = |shares: &[f64], level: usize| -> Vec<f64> {
        if shares.iter().all(|f| *f <= LOST[level]) {
            return vec![0.0; weights.len()];
        }
        let more = |w: &Vec<f64>| -> f64 {
            shares.iter().zip(w).map(|(f, w)| w * (f - LOST[level]).max(0.0)).sum()
        };
        weights.iter().map(|w| bed.worth * more(w)).collect()
    };
    // Many moves lead into the same night.
    let each = |all: &[Vec<f64>]| -> Vec<Vec<f64>> {
        all.iter()
            .flat_map(|shares| (0..levels).map(|l| cost(shares, l)).collect::<Vec<_>>())
            .collect()
    };
    let (laid, left) = (each(&bed.laid[night]), each(&bed.left[night]));
    let mut out = Vec::with_capacity(moves.len() * weights.len());
    for m in moves {
        let ((from, level), (to, _)) = (place(levels, m.from), place(levels, m.to));
        out.extend(match bed.began(night, from, to) {
            Began::Laid(state) => &laid[state * levels + level],
            Began::Left(option) => &left[option * levels + level],
        });
    }
    out
}

/// What a night makes of each state, for each node of the morning.
fn after_the_night(
    bed: &BedLosses,
    (night, levels): (usize, usize),
    morning_nodes: &[usize],
) -> Vec<usize> {
    let nodes = courses::nodes(night).1;
    let mut out = Vec::with_capacity(bed.lies.len() * levels * nodes);
    for (lies, shares) in bed.laid[night].iter().enumerate() {
        for (level, gone) in LOST[..levels].iter().enumerate() {
            let mut sums = vec![(0.0, 0_u32); nodes];
            for (f, node) in shares.iter().zip(morning_nodes) {
                let (sum, n) = &mut sums[*node];
                *sum += f.max(*gone);
                *n += 1;
            }
            out.extend(sums.iter().map(|(sum, n)| {
                let lost = if *n > 0 { sum / f64::from(*n) } else { *gone };
                lies * levels + nearest(lost).max(level)
            }));
        }
    }
    out
}

/// The level nearest to a share.
fn nearest(share: f64) -> usize {
    let far = |i: &usize| (LOST[*i] - share).abs();
    (0..LOST.len()).min_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or(0)
}
