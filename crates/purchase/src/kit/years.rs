//! Which rolls in which year: each year the purchases that meet the most worth with what has been saved up by then.

use crate::kit::error::KitError;
use crate::kit::found::Found;
use crate::kit::problem::{Fixings, Origin, Problem, Way};
use crate::kit::program::largest;
use milp::Solver;
use milp::{Model, Row, Sense};

/// What is bought in one year.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Year {
    /// Indices of the rolls of [`Found`].
    pub units: Vec<usize>,
    /// Pins.
    pub pins: u32,
    /// Clips.
    pub clips: u32,
    /// Wants that are met from this year on.
    pub met: Vec<usize>,
    /// Money spent.
    pub spent: f64,
}

/// The years, and how much more worth a year's purchases could have met at most, as a share of what is put off.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// Year by year.
    pub years: Vec<Year>,
    /// 0 when each year is proven best after the ones before; `None` when nothing is proven.
    pub gap: Option<f64>,
}

/// What is owned when a year begins.
struct State {
    have: Vec<bool>,
    pins: u32,
    clips: u32,
    met: Vec<bool>,
    spent: f64,
}

/// Spreads what is bought over years: the money of a year that is not spent is kept for the next; without a budget all
/// is bought in the first. Checked by `kit::each_year_keeps_within_its_purse`.
///
/// # Errors
/// [`KitError::Bug`].
pub fn spread(
    problem: &Problem,
    found: &Found,
    years: u32,
    solver: &dyn Solver,
) -> Result<Spread, KitError> {
    let wants = 0..problem.wants.len();
    let mut state = State {
        have: vec![false; found.bought.units.len()],
        pins: 0,
        clips: 0,
        met: vec![false; problem.wants.len()],
        spent: 0.0,
    };
    let mut spread = Spread { years: Vec::new(), gap: Some(0.0) };
    for year in 1..=years {
        let purse = problem.budget * f64::from(year) / f64::from(years);
        let last = found.paid <= purse * (1.0 + 1e-9);
        let (next, gap) = if last {
            (everything(problem, found), Some(0.0))
        } else {
            one_year(problem, found, &state, purse, solver)?
        };
        let new = |now: &[bool], before: &[bool]| -> Vec<usize> {
            (0..now.len()).filter(|k| now[*k] && !before[*k]).collect()
        };
        spread.years.push(Year {
            units: new(&next.have, &state.have),
            pins: next.pins - state.pins,
            clips: next.clips - state.clips,
            met: new(&next.met, &state.met),
            spent: next.spent - state.spent,
        });
        spread.gap = spread.gap.zip(gap).map(|(a, b)| a.max(b));
        state = next;
        if wants.clone().all(|w| state.met[w] || found.choice[w].is_none()) {
            break;
        }
    }
    Ok(spread)
}

/// All is bought.
fn everything(problem: &Problem, found: &Found) -> State {
    State {
        have: vec![true; found.bought.units.len()],
        pins: problem.pins.short(found.owned.pins),
        clips: problem.clips.short(found.owned.clips),
        met: found.choice.iter().map(Option::is_some).collect(),
        spent: found.paid,
    }
}

/// One year's program: late or not for each want, bought or not for each roll.
struct Program<'a> {
    problem: &'a Problem,
    found: &'a Found,
    model: Model,
    /// Want, its way, the variable that is 1 where it is met.
    met: Vec<(usize, Way, usize)>,
    units: Vec<usize>,
}

/// What money weighs beside worth: it only breaks ties.
const THRIFT: f64 = 1e-6;

fn one_year(
    problem: &Problem,
    found: &Found,
    state: &State,
    purse: f64,
    solver: &dyn Solver,
) -> Result<(State, Option<f64>), KitError> {
    let mut p =
        Program { problem, found, model: Model::default(), met: Vec::new(), units: Vec::new() };
    p.add_wants(state);
    let mut spent: Vec<(usize, f64)> = Vec::new();
    for (unit, have) in found.bought.units.iter().zip(&state.have) {
        let price = problem.rolls[unit.roll].price;
        let bought = p.model.var(THRIFT * price, 1);
        if *have {
            p.model.rows.push(Row { terms: vec![(bought, 1.0)], sense: Sense::Equal, right: 1.0 });
        }
        p.units.push(bought);
        spent.push((bought, price));
    }
    p.add_sizes();
    p.add_hoops();
    let pins = p.add_fixings(problem.pins, |w| w.pins, state.pins);
    let clips = p.add_fixings(problem.clips, |w| w.clips, state.clips);
    spent.extend([(pins, problem.pins.price), (clips, problem.clips.price)]);
    spent.retain(|t| t.1 > 0.0);
    if !spent.is_empty() {
        p.model.at_most(spent.clone(), purse);
    }
    let Ok(answer) = solver.solve(&p.model) else {
        // Nothing found: the year is saved for the next.
        let State { have, pins, clips, met, spent } = state;
        let (have, met) = (have.clone(), met.clone());
        return Ok((State { have, pins: *pins, clips: *clips, met, spent: *spent }, None));
    };
    let is = |v: &usize| answer.counts[*v] > 0;
    let mut met = vec![false; problem.wants.len()];
    p.met.iter().for_each(|(w, _, v)| met[*w] = is(v));
    let next = State {
        have: p.units.iter().map(is).collect(),
        pins: answer.counts[pins].max(0) as u32,
        clips: answer.counts[clips].max(0) as u32,
        met,
        spent: spent.iter().map(|(v, price)| price * f64::from(answer.counts[*v])).sum(),
    };
    if next.spent > purse * (1.0 + 1e-9) {
        return Err(KitError::Bug("a year spends more than it has".into()));
    }
    Ok((next, answer.gap))
}

impl Program<'_> {
    /// Each want met or late; what is met stays met.
    fn add_wants(&mut self, state: &State) {
        for w in 0..self.problem.wants.len() {
            let Some(way) = self.problem.way(&self.found.choice, w) else { continue };
            let met = self.model.var(0.0, 1);
            let mut terms = vec![(met, 1.0)];
            if !state.met[w] {
                terms.push((self.model.var(self.problem.wants[w].penalty, 1), 1.0));
            }
            self.model.rows.push(Row { terms, sense: Sense::Equal, right: 1.0 });
            self.met.push((w, way, met));
        }
    }

    /// Σ takes · met ≤ right + gives, in every half-month.
    fn in_every_slot(&mut self, takes: impl Fn(&Way) -> u32, gives: &[(usize, f64)], right: f64) {
        let in_slot = |s: u32| {
            let in_it = self.met.iter().filter(|m| self.problem.wants[m.0].slots >> s & 1 == 1);
            in_it.map(|m| (m.2, f64::from(takes(&m.1)))).filter(|t| t.1 > 0.0).collect()
        };
        for mut row in largest((0..self.problem.slots()).map(in_slot).collect()) {
            row.extend(gives.iter().map(|(v, n)| (*v, -n)));
            self.model.at_most(row, right);
        }
    }

    /// Pieces of a size that the rolls give.
    fn gives(&self, size: usize) -> Vec<(usize, f64)> {
        let of_unit = |(unit, v): (&crate::kit::buying::BoughtRoll, &usize)| {
            let n: u32 = unit.gives.iter().filter(|g| g.0 == size).map(|g| g.1).sum();
            (n > 0).then_some((*v, f64::from(n)))
        };
        self.found.bought.units.iter().zip(&self.units).filter_map(of_unit).collect()
    }

    fn add_sizes(&mut self) {
        for s in 0..self.problem.sizes.len() {
            if let Origin::Goods(_) = self.problem.sizes[s].from {
                let gives = self.gives(s);
                self.in_every_slot(|w| if w.size == s { w.pieces } else { 0 }, &gives, 0.0);
            }
        }
    }

    /// Hoops of each length for the beds that are covered over them.
    fn add_hoops(&mut self) {
        let mut taken: Vec<(usize, usize, f64)> = Vec::new();
        for (b, hoops) in self.problem.hoops.iter().enumerate() {
            let over = self.met.iter().filter(|m| self.problem.wants[m.0].bed == b && m.1.hoops);
            let over: Vec<usize> = over.map(|m| m.2).collect();
            if let Some(hoops) = hoops.filter(|_| !over.is_empty()) {
                let covered = self.model.var(0.0, 1);
                over.iter().for_each(|v| self.model.at_most(vec![(*v, 1.0), (covered, -1.0)], 0.0));
                taken.push((hoops.size, covered, f64::from(hoops.count)));
            }
        }
        for s in 0..self.problem.sizes.len() {
            let of_size = taken.iter().filter(|t| t.0 == s);
            let mut row: Vec<(usize, f64)> = of_size.map(|t| (t.1, t.2)).collect();
            if !row.is_empty() {
                row.extend(self.gives(s).iter().map(|(v, n)| (*v, -n)));
                self.model.at_most(row, 0.0);
            }
        }
    }

    /// The variable of those bought so far and now.
    fn add_fixings(&mut self, f: Fixings, takes: fn(&Way) -> u32, had: u32) -> usize {
        let most: u32 = self.met.iter().map(|m| takes(&m.1)).sum::<u32>().max(had);
        let bought = self.model.var(THRIFT * f.price.max(1e-3), most);
        self.model.at_most(vec![(bought, -1.0)], -f64::from(had));
        self.in_every_slot(takes, &[(bought, 1.0)], f64::from(f.have));
        bought
    }
}
