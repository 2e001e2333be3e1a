//! The nights as the abstract problem of [`crate::horizon`]: states, moves, costs, limits.

use garden::Garden;

use crate::horizon::{Bed, Decision, Move, Part, Problem};
use crate::lies::{self, Lies};
use crate::plan::stock;
use crate::week::courses::{self, Courses};
use crate::week::losses::BedLosses;

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
        let evening = moves(b, lies::in_the_evening);
        let morning = moves(b, lies::in_the_morning);
        let (mut costs, mut becomes) = (Vec::new(), Vec::new());
        for t in 0..courses.nights() {
            costs.push(evening_costs(b, t, &evening, &courses.evening_weights[t]));
            if t + 1 == courses.nights() {
                break;
            }
            becomes.push(after_the_night(b, t, &courses.morning_nodes[t]));
            let nodes = courses::nodes(t).1;
            let by_day = |m: &Move| {
                let (lies, level) = place(m.to);
                vec![b.days[t][lies] * (1.0 - LOST[level]); nodes]
            };
            costs.push(morning.iter().flat_map(by_day).collect());
            becomes.push(Vec::new());
        }
        let holds = (0..b.lies.len() * LOST.len())
            .map(|s| lies::uses(b.lies[place(s).0], &b.options, &lines))
            .collect();
        Bed { holds, start: state(b.start, 0), evening, morning, costs, becomes }
    };
    Problem {
        beds: beds.into_iter().map(bed).collect(),
        decisions,
        lattice: courses.lattice.clone(),
        available: lines.iter().map(|l| l.1).collect(),
        wage_per_minute: garden.labour.worth_of_hour / 60.0,
    }
}

/// The state of something that lies and a level of loss.
fn state(lies: usize, level: usize) -> usize {
    lies * LOST.len() + level
}

/// What lies, as an index into the bed's, and the level of loss, of a state.
#[must_use]
pub fn place(state: usize) -> (usize, usize) {
    (state / LOST.len(), state % LOST.len())
}

/// The moves that are allowed, leaving first.
fn moves(bed: &BedLosses, allowed: impl Fn(Lies, Lies) -> bool) -> Vec<Move> {
    let mut all = Vec::new();
    for (a, from) in bed.lies.iter().enumerate() {
        for level in 0..LOST.len() {
            let here = state(a, level);
            all.push(Move { from: here, to: here, seconds: 0 });
            for (b, to) in
                bed.lies.iter().enumerate().filter(|(b, to)| *b != a && allowed(*from, **to))
            {
                let seconds = lies::seconds(*from, *to, &bed.options);
                all.push(Move { from: here, to: state(b, level), seconds });
            }
        }
    }
    all
}

fn evening_costs(bed: &BedLosses, night: usize, moves: &[Move], weights: &[Vec<f64>]) -> Vec<f64> {
    let mut out = Vec::with_capacity(moves.len() * weights.len());
    for m in moves {
        let ((from, level), (to, _)) = (place(m.from), place(m.to));
        let shares = bed.shares(night, from, to);
        for w in weights {
            let more = shares.iter().zip(w).map(|(f, w)| w * (f - LOST[level]).max(0.0));
            out.push(bed.worth * more.sum::<f64>());
        }
    }
    out
}

/// What a night makes of each state, for each node of the morning.
fn after_the_night(bed: &BedLosses, night: usize, morning_nodes: &[usize]) -> Vec<usize> {
    let nodes = courses::nodes(night).1;
    let mut out = Vec::new();
    for s in 0..bed.lies.len() * LOST.len() {
        let (lies, level) = place(s);
        let shares = &bed.laid[night][lies];
        for node in 0..nodes {
            let mine = shares.iter().zip(morning_nodes).filter(|x| *x.1 == node).map(|x| *x.0);
            let (sum, n) = mine.fold((0.0, 0_u32), |a, f| (a.0 + f.max(LOST[level]), a.1 + 1));
            let lost = if n > 0 { sum / f64::from(n) } else { LOST[level] };
            out.push(state(lies, nearest(lost).max(level)));
        }
    }
    out
}

/// The level nearest to a share.
fn nearest(share: f64) -> usize {
    let far = |i: &usize| (LOST[*i] - share).abs();
    (0..LOST.len()).min_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or(0)
}
