//! The dual problem: prices that make the bound as high as they can.

use rayon::prelude::*;

use crate::horizon::bed_program::BedProgram;
use crate::horizon::prices::Prices;
use crate::horizon::problem::{Bed, Problem};

/// Steps without a better bound after which the aim is halved.
const PATIENCE: u32 = 6;

/// The first aim above the bound without prices, as a share of it.
const FIRST_RISE: f64 = 0.2;

/// The same where the prices of a problem that is nearly this one are known.
const NEAR_RISE: f64 = 0.02;

/// Turning away from the last direction where the new one opposes it (Camerini, Fratta & Maffioli 1975).
const TURN: f64 = 1.5;

/// Aim above the bound, as a share of it, at which the search ends.
const CLOSE: f64 = 1e-6;

/// Prices, what every bed does at them, and the bound that follows.
#[derive(Clone, Debug)]
pub struct Dual {
    /// The prices.
    pub prices: Prices,
    /// The program at these prices of each kind of bed.
    programs: Vec<BedProgram>,
    kinds: Kinds,
    /// `budget[decision][node]`: worth at these prices of all limits from here on, expected.
    pub budget: Vec<Vec<f64>>,
    /// No plan can cost less, money.
    pub bound: f64,
    /// Steps taken.
    pub steps: u32,
}

/// Beds that are alike in all but their place have one program.
#[derive(Clone, Debug)]
struct Kinds {
    /// By bed.
    of: Vec<usize>,
    /// By kind, one bed of it.
    one: Vec<usize>,
    /// By kind, how many there are.
    count: Vec<f64>,
}

impl Kinds {
    fn new(beds: &[Bed]) -> Self {
        let (mut of, mut one, mut count) = (Vec::new(), Vec::<usize>::new(), Vec::new());
        for (b, bed) in beds.iter().enumerate() {
            let kind = one.iter().position(|o| beds[*o] == *bed).unwrap_or(one.len());
            if kind == one.len() {
                one.push(b);
                count.push(0.0);
            }
            count[kind] += 1.0;
            of.push(kind);
        }
        Self { of, one, count }
    }
}

impl Dual {
    fn at(problem: &Problem, prices: Prices, mut programs: Vec<BedProgram>, kinds: Kinds) -> Self {
        programs
            .par_iter_mut()
            .zip(&kinds.one)
            .for_each(|(program, b)| program.solve(problem, &problem.beds[*b], &prices));
        let budget = budget(problem, &prices);
        let each = programs.iter().zip(&kinds.one).map(|(p, b)| p.from_now(&problem.beds[*b]));
        let lost: f64 = each.zip(&kinds.count).map(|(lost, n)| n * lost).sum();
        let bound = lost - budget[0][0];
        Self { prices, programs, kinds, budget, bound, steps: 0 }
    }

    /// A bed's program at these prices.
    #[must_use]
    pub fn program(&self, bed: usize) -> &BedProgram {
        &self.programs[self.kinds.of[bed]]
    }

    /// Worth at these prices of all limits after a decision, expected.
    #[must_use]
    pub fn later(&self, problem: &Problem, decision: usize, node: usize) -> f64 {
        let steps = &problem.lattice.steps[decision][node];
        steps.iter().map(|s| s.chance * self.budget[decision + 1][s.to]).sum()
    }

    /// Chance-weighted use beyond each limit when every bed follows its own program.
    fn excess(&self, problem: &Problem, chances: &[Vec<f64>]) -> Vec<f64> {
        let used: Vec<Vec<f64>> = self
            .programs
            .par_iter()
            .zip(&self.kinds.one)
            .map(|(program, b)| program.use_expected(problem, &problem.beds[*b], &self.prices))
            .collect();
        // Summed in the order of the kinds, so that the answer does not depend on threads.
        let mut sum = vec![0.0; self.prices.len()];
        for (kind, n) in used.iter().zip(&self.kinds.count) {
            sum.iter_mut().zip(kind).for_each(|(s, u)| *s += n * u);
        }
        for (t, nodes) in chances.iter().enumerate() {
            for (n, chance) in nodes.iter().enumerate() {
                for r in 0..problem.resources() {
                    sum[self.prices.place(t, n, r)] -= chance * problem.limit(t, r);
                }
            }
        }
        sum
    }
}

fn budget(problem: &Problem, prices: &Prices) -> Vec<Vec<f64>> {
    let mut all: Vec<Vec<f64>> = problem.lattice.steps.iter().map(|s| vec![0.0; s.len()]).collect();
    for t in (0..all.len()).rev() {
        for n in 0..all[t].len() {
            let here: f64 =
                (0..problem.resources()).map(|r| prices.price(t, n, r) * problem.limit(t, r)).sum();
            let later: f64 =
                problem.lattice.steps[t][n].iter().map(|s| s.chance * all[t + 1][s.to]).sum();
            all[t][n] = here + later;
        }
    }
    all
}

/// Prices by steps along the excess use, towards an aim a little above the best bound (Polyak 1969).
///
/// bound = Σ_b V_b − Σ_t E[Σ_r λ_tr(n) limit_tr], money, for any prices λ ≥ 0 (weakly coupled programs: Hawkins 2003,
/// Adelman & Mersereau 2008). One price for each node: a cold forecast makes cloth dear, a mild one free.
/// A step is (aim − bound)/‖g‖² along g, use beyond the limit as a share of it; the norm weights nodes by their chance.
/// The aim comes nearer when some steps bring nothing. Ends after `most` steps; depends on no clock.
/// Checked by `horizon::the_bound_is_below_the_exact_plan_and_the_plan_above_it`.
/// Equation 74 of docs/science.md.
#[must_use]
pub fn search(problem: &Problem, most: u32) -> Dual {
    search_from(problem, most, Prices::zero(problem), FIRST_RISE)
}

/// The same from the prices of a problem that is nearly this one, with a third of the steps.
#[must_use]
pub fn search_near(problem: &Problem, most: u32, near: &Prices) -> Dual {
    search_from(problem, most.div_ceil(3), near.clone(), NEAR_RISE)
}

fn search_from(problem: &Problem, most: u32, start: Prices, first_rise: f64) -> Dual {
    let chances = problem.lattice.chances();
    let kinds = Kinds::new(&problem.beds);
    let programs = kinds.one.iter().map(|b| BedProgram::new(problem, &problem.beds[*b])).collect();
    let mut now = Dual::at(problem, start, programs, kinds);
    let (mut best, mut best_at) = (now.bound, (now.prices.clone(), 0));
    let mut rise = first_rise * now.bound;
    let mut idle = 0;
    let mut before = vec![0.0; now.prices.len()];
    for step in 1..=most {
        if rise <= CLOSE * best {
            break;
        }
        let excess = now.excess(problem, &chances);
        let direction = direction(problem, &now.prices, &chances, &excess, &mut before);
        let Some((along, norm)) = direction else { break };
        let length = (best + rise - now.bound) / norm;
        let mut prices = now.prices.clone();
        prices.all.iter_mut().zip(along).for_each(|(p, d)| *p = (*p + length * d).max(0.0));
        now = Dual { steps: step, ..Dual::at(problem, prices, now.programs, now.kinds) };
        if now.bound > best {
            if now.bound > best + 0.1 * rise {
                idle = 0;
            }
            best = now.bound;
            best_at = (now.prices.clone(), step);
        }
        idle += 1;
        if idle > PATIENCE {
            (rise, idle) = (0.5 * rise, 0);
            let (prices, steps) = best_at.clone();
            now = Dual { steps, ..Dual::at(problem, prices, now.programs, now.kinds) };
            before.fill(0.0);
        }
    }
    if now.bound < best {
        let (prices, steps) = best_at;
        now = Dual { steps, ..Dual::at(problem, prices, now.programs, now.kinds) };
    }
    now
}

/// The way the prices should go and its squared length; `None` where every limit is kept or priced as it should be.
fn direction(
    problem: &Problem,
    prices: &Prices,
    chances: &[Vec<f64>],
    excess: &[f64],
    before: &mut Vec<f64>,
) -> Option<(Vec<f64>, f64)> {
    let mut steepest = vec![0.0; prices.len()];
    let mut weight = vec![0.0; prices.len()];
    for (t, nodes) in chances.iter().enumerate() {
        for (n, chance) in nodes.iter().enumerate().filter(|c| *c.1 > 0.0) {
            for r in 0..problem.resources() {
                let i = prices.place(t, n, r);
                let scale = problem.limit(t, r).max(1.0);
                weight[i] = chance * scale * scale;
                if excess[i] > 0.0 || prices.all[i] > 0.0 {
                    steepest[i] = excess[i] / weight[i];
                }
            }
        }
    }
    let dot = |a: &[f64], b: &[f64]| -> f64 {
        a.iter().zip(b).zip(&weight).map(|((a, b), w)| w * a * b).sum()
    };
    if dot(&steepest, &steepest) <= 0.0 {
        return None;
    }
    let length = dot(before, before);
    let turn = if length > 0.0 { (-TURN * dot(&steepest, before) / length).max(0.0) } else { 0.0 };
    steepest.iter_mut().zip(&*before).for_each(|(s, b)| *s += turn * b);
    let norm = dot(&steepest, &steepest);
    before.clone_from(&steepest);
    (norm > 0.0).then_some((steepest, norm))
}
