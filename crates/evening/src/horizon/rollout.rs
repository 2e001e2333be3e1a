//! What the plan is worth when it is followed: courses of the lattice, each decision made as tonight's is.

use std::collections::{BTreeMap, BTreeSet};

use milp::Solver;
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;
use rayon::prelude::*;

use crate::horizon::dual::Dual;
use crate::horizon::problem::Problem;
use crate::horizon::repair::{Decided, decide};
use crate::plan::PlanError;

/// What following the plan costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worth {
    /// Expected loss and labour, money.
    pub cost: f64,
    /// Standard error of it, money; nought when every course was followed.
    pub standard_error: f64,
    /// Courses followed.
    pub courses: usize,
}

/// Node and states of the beds: all that a decision depends on.
type Place = (usize, Vec<usize>);

/// One course on its way, or all that met.
#[derive(Clone, Debug)]
struct Course {
    place: Place,
    weight: f64,
    /// Cost beyond the bound so far, money.
    beyond: f64,
}

/// Cost of following the plan from its `first` decision: every course there is when they are at most `most`, else `drawn` of them.
///
/// cost = bound + E Σ_t slack_t; slack_t = what the decision costs beyond the beds' own programs, plus what is left unused
/// at its price. Each slack is nought or more, so courses differ little and few are needed (a control variate;
/// penalties of this kind: Brown & Smith 2014). Money. Checked by `horizon::drawn_courses_agree_with_all_courses`.
/// Equation 75 of docs/science.md.
///
/// # Errors
/// [`PlanError::Bug`] when a decision breaks a limit.
pub fn follow(
    problem: &Problem,
    dual: &Dual,
    solver: &dyn Solver,
    first: &Decided,
    (most, drawn, seed): (usize, usize, u64),
) -> Result<Worth, PlanError> {
    match every_course(problem, dual, solver, first, most)? {
        Some(worth) => Ok(worth),
        None => drawn_courses(problem, dual, solver, first, (drawn.max(2), seed)),
    }
}

/// The start: one node, the beds as they lie.
fn start(problem: &Problem) -> Place {
    (0, problem.beds.iter().map(|b| b.start).collect())
}

/// Every course, those that meet in one place going on together; `None` when there are more than `most` at once.
fn every_course(
    problem: &Problem,
    dual: &Dual,
    solver: &dyn Solver,
    first: &Decided,
    most: usize,
) -> Result<Option<Worth>, PlanError> {
    let mut here = BTreeMap::from([(start(problem), 1.0)]);
    let mut cost = dual.bound;
    let mut courses = 1;
    for t in 0..problem.decisions.len() {
        let ways: usize = here.keys().map(|p| problem.lattice.steps[t][p.0].len().max(1)).sum();
        if ways > most {
            return Ok(None);
        }
        courses = courses.max(ways);
        let places = here.keys().cloned().collect();
        let decided = decide_all(problem, dual, solver, first, t, places)?;
        let mut later: BTreeMap<Place, f64> = BTreeMap::new();
        for (place, weight) in &here {
            let Some(made) = decided.get(place) else { continue };
            cost += weight * slack(problem, dual, t, place, made);
            for step in problem.lattice.steps[t][place.0].iter().filter(|s| s.chance > 0.0) {
                *later.entry(next(problem, t, made, step.to)).or_default() += weight * step.chance;
            }
        }
        here = later;
    }
    Ok(Some(Worth { cost, standard_error: 0.0, courses }))
}

/// A number of courses drawn from the lattice; the seed decides which.
fn drawn_courses(
    problem: &Problem,
    dual: &Dual,
    solver: &dyn Solver,
    first: &Decided,
    (drawn, seed): (usize, u64),
) -> Result<Worth, PlanError> {
    let one = Course { place: start(problem), weight: 1.0 / drawn as f64, beyond: 0.0 };
    let mut all = vec![one; drawn];
    let mut random = Xoshiro256PlusPlus::seed_from_u64(seed);
    for t in 0..problem.decisions.len() {
        let places: BTreeSet<Place> = all.iter().map(|c| c.place.clone()).collect();
        let decided = decide_all(problem, dual, solver, first, t, places)?;
        for course in &mut all {
            let Some(made) = decided.get(&course.place) else { continue };
            course.beyond += slack(problem, dual, t, &course.place, made);
            let mut left: f64 = random.random();
            let steps = &problem.lattice.steps[t][course.place.0];
            let way = steps.iter().find(|s| {
                left -= s.chance;
                left < 0.0
            });
            if let Some(step) = way.or(steps.last()) {
                course.place = next(problem, t, made, step.to);
            }
        }
    }
    let mean: f64 = all.iter().map(|c| c.weight * c.beyond).sum();
    let squares: f64 = all.iter().map(|c| (c.beyond - mean).powi(2)).sum();
    let standard_error = (squares / (drawn - 1) as f64 / drawn as f64).sqrt();
    Ok(Worth { cost: dual.bound + mean, standard_error, courses: drawn })
}

/// The decision in each place; the first is made already.
fn decide_all(
    problem: &Problem,
    dual: &Dual,
    solver: &dyn Solver,
    first: &Decided,
    t: usize,
    places: BTreeSet<Place>,
) -> Result<BTreeMap<Place, Decided>, PlanError> {
    places
        .into_par_iter()
        .map(|place| {
            if t == 0 {
                return Ok((place, first.clone()));
            }
            let made = decide(problem, dual, (t, place.0), &place.1, solver)?;
            Ok((place, made))
        })
        .collect()
}

/// What a decision costs beyond the bound's own count; never below nought.
fn slack(problem: &Problem, dual: &Dual, t: usize, (node, states): &Place, made: &Decided) -> f64 {
    let nodes = problem.lattice.nodes(t);
    let value = |(b, state): (usize, &usize)| dual.program(b).value[t][state * nodes + node];
    let counted: f64 = states.iter().enumerate().map(value).sum();
    let limits: f64 = (0..problem.resources())
        .map(|r| dual.prices.price(t, *node, r) * problem.limit(t, r))
        .sum();
    made.to_go + limits - counted
}

/// Where a decision leads when a node comes.
fn next(problem: &Problem, t: usize, made: &Decided, node: usize) -> Place {
    let part = problem.decisions[t].part;
    let nodes = problem.lattice.nodes(t + 1);
    let found = problem
        .beds
        .iter()
        .zip(&made.moves)
        .map(|(bed, m)| bed.found(t, bed.moves(part)[*m].to, nodes, node));
    (node, found.collect())
}
