//! One decision for all beds together: the exact integer program with each choice's cost-to-go.

use milp::Solver;

use crate::horizon::dual::Dual;
use crate::horizon::problem::{Bed, Move, Problem};
use crate::plan::{Choice, Plan, PlanError, about_best, best_within};

/// Choices of a bed besides leaving it that a later decision looks at.
const LIKELY: usize = 3;

/// A gap so small that a plan is not polished, as a share of its cost.
const GOOD_ENOUGH: f64 = 0.002;

/// What is decided at a node for beds in given states.
#[derive(Clone, Debug, PartialEq)]
pub struct Decided {
    /// The move of each bed, as an index into its moves of this kind of decision.
    pub moves: Vec<usize>,
    /// Expected loss until the next decision and labour, money.
    pub cost: f64,
    /// Cost of this decision and the priced cost of all later ones, money.
    pub to_go: f64,
    /// No feasible decision has a smaller `to_go` than this.
    pub bound: f64,
}

/// The feasible moves that cost least now and later, later ones priced.
///
/// Where what each bed would like best fits, it is that; else the integer program of the evening. The first decision has
/// every choice; a later one, of which many are made, those that are likely at the prices.
///
/// # Errors
/// [`PlanError::Bug`] when an answer breaks a limit.
pub fn decide(
    problem: &Problem,
    dual: &Dual,
    (decision, node): (usize, usize),
    states: &[usize],
    solver: &dyn Solver,
) -> Result<Decided, PlanError> {
    let part = problem.decisions[decision].part;
    let nodes = problem.lattice.nodes(decision);
    let evening = as_evening(problem, dual, (decision, node), states);
    let wish = wishes(&evening);
    let plan = if evening.feasible(&wish) {
        evening.plan_of(wish, Some(0.0))
    } else if decision == 0 {
        best_within(&evening, solver, Some(GOOD_ENOUGH))?
    } else {
        best_of_likely(&evening, |c| priced(problem, dual, &evening, (decision, node), c), solver)?
    };
    let moves: Vec<usize> = problem
        .beds
        .iter()
        .zip(states)
        .zip(&plan.choice)
        .map(|((bed, state), c)| bed.first_from(part, *state) + c)
        .collect();
    let mut cost = 0.0;
    for (bed, m) in problem.beds.iter().zip(&moves) {
        let seconds = f64::from(bed.moves(part)[*m].seconds);
        cost += bed.costs[decision][m * nodes + node] + problem.wage_per_second() * seconds;
    }
    let least = |gap: f64| plan.cost * (1.0 - gap);
    let free: f64 = wishes(&evening)
        .iter()
        .zip(&evening.beds)
        .map(|(c, choices)| evening.cost(&choices[*c]))
        .sum();
    let bound = plan.gap.map_or(free, least).max(free);
    Ok(Decided { moves, cost, to_go: plan.cost, bound })
}

/// The decision as an evening's question: leaving as it is first, cost-to-go in the loss.
fn as_evening(
    problem: &Problem,
    dual: &Dual,
    (decision, node): (usize, usize),
    states: &[usize],
) -> crate::plan::Problem {
    let limits = problem.decisions[decision];
    let nodes = problem.lattice.nodes(decision);
    let choice = |b: usize, bed: &Bed, m: usize, it: &Move| Choice {
        expected_loss: bed.costs[decision][m * nodes + node]
            + dual.program(b).after[decision][it.to * nodes + node],
        seconds: it.seconds,
        uses: bed.holds[it.to].clone(),
    };
    let beds = problem.beds.iter().zip(states).enumerate().map(|(b, (bed, state))| {
        let first = bed.first_from(limits.part, *state);
        let mine = bed.moves(limits.part).iter().enumerate().skip(first);
        mine.take_while(|(_, m)| m.from == *state).map(|(m, it)| choice(b, bed, m, it)).collect()
    });
    crate::plan::Problem {
        beds: beds.collect(),
        available: problem.available.clone(),
        seconds: limits.seconds,
        wage_per_minute: problem.wage_per_minute,
    }
}

/// What each bed would choose were nothing short; of equals the first.
fn wishes(evening: &crate::plan::Problem) -> Vec<usize> {
    let least = |choices: &Vec<Choice>| {
        let mut best = 0;
        for (c, choice) in choices.iter().enumerate() {
            if evening.cost(choice) < evening.cost(&choices[best]) {
                best = c;
            }
        }
        best
    };
    evening.beds.iter().map(least).collect()
}

/// What a choice costs with the prices of its own decision.
fn priced(
    problem: &Problem,
    dual: &Dual,
    evening: &crate::plan::Problem,
    (decision, node): (usize, usize),
    choice: &Choice,
) -> f64 {
    let price = |r| dual.prices.price(decision, node, r);
    let rent: f64 = choice.uses.iter().map(|(line, n)| f64::from(*n) * price(*line)).sum();
    evening.cost(choice) + rent + f64::from(choice.seconds) * price(problem.available.len())
}

/// As [`about_best`], with the choices only that are cheapest by `priced`; proven of these alone, so no bound.
fn best_of_likely(
    evening: &crate::plan::Problem,
    priced: impl Fn(&Choice) -> f64,
    solver: &dyn Solver,
) -> Result<Plan, PlanError> {
    let likely = |choices: &Vec<Choice>| -> Vec<usize> {
        let mut order: Vec<(f64, usize)> =
            choices.iter().enumerate().skip(1).map(|(c, it)| (priced(it), c)).collect();
        order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        std::iter::once(0).chain(order.into_iter().take(LIKELY).map(|o| o.1)).collect()
    };
    let kept: Vec<Vec<usize>> = evening.beds.iter().map(likely).collect();
    let pick = |(choices, kept): (&Vec<Choice>, &Vec<usize>)| {
        kept.iter().map(|c| choices[*c].clone()).collect()
    };
    let beds = evening.beds.iter().zip(&kept).map(pick).collect();
    let fewer = crate::plan::Problem { beds, ..evening.clone() };
    let plan = about_best(&fewer, solver, GOOD_ENOUGH)?;
    let choice = plan.choice.iter().zip(&kept).map(|(c, kept)| kept[*c]).collect();
    Ok(evening.plan_of(choice, None))
}
