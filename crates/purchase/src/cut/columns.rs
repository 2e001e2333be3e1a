//! The fillings that a better cut could use, and no others.

use std::collections::BTreeSet;

use crate::cut::bound::{Bound, Priced, across, price, shortage_cost};
use crate::cut::knapsack::{Item, all};
use crate::cut::problem::{Problem, Slot, Strip, Used};

/// Fillings and strips kept at most, for each roll and for each class of strips.
const MOST_FILLINGS: usize = 800;
const MOST_STRIPS: usize = 300;

/// How many strips of each class a roll is cut into.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Filling {
    /// Kind of roll.
    pub roll: usize,
    /// Strips of each class.
    pub counts: Vec<u32>,
}

/// Fillings of rolls, and strips for each class of each roll.
#[derive(Clone, Debug, Default)]
pub struct Columns {
    /// Classes of strips of each roll.
    pub slots: Vec<Vec<Slot>>,
    /// Ways to cut rolls into strips.
    pub fillings: BTreeSet<Filling>,
    /// Ways to slit strips, by roll and class, as sorted laid pieces.
    pub strips: Vec<Vec<BTreeSet<Vec<usize>>>>,
    /// Whether every cut no dearer than the target is made of these.
    pub complete: bool,
}

/// All fillings and strips with a reduced cost of at most target − bound, which no cut that reaches the target can do
/// without; when they are too many, those of least reduced cost. With them, the ones already met.
///
/// Checked by `cut::every_small_case_in_one_dimension`.
pub fn columns(problem: &Problem, bound: &Bound, target: f64, met: &[Used]) -> Columns {
    let tolerance = 1e-7 * problem.rolls.iter().map(|r| r.cost).fold(0.0, f64::max);
    let slack = (target.min(shortage_cost(problem)) - bound.value).max(0.0);
    let shares = [1.0, 0.25, 0.06, 0.015, 0.0];
    let found = shares.iter().find_map(|share| {
        let columns = within(problem, bound, share * slack + tolerance)?;
        Some(Columns { complete: *share == 1.0, ..columns })
    });
    let slots: Vec<Vec<Slot>> = (0..problem.rolls.len()).map(|r| problem.slots(r)).collect();
    let strips = slots.iter().map(|s| vec![BTreeSet::new(); s.len()]).collect();
    let mut columns = found.unwrap_or(Columns { slots, strips, ..Columns::default() });
    for used in met.iter().chain(&bound.fillings) {
        columns.learn(used);
    }
    columns
}

/// Those with a reduced cost of at most `slack`; `None` when they are too many.
fn within(problem: &Problem, bound: &Bound, slack: f64) -> Option<Columns> {
    let mut columns = Columns::default();
    for (r, roll) in problem.rolls.iter().enumerate() {
        let slots = problem.slots(r);
        let Priced { at_most, slots: values, .. } = price(problem, r, &bound.worth);
        let worth = roll.cost.max(at_most);
        let items: Vec<Item> = slots
            .iter()
            .zip(&values)
            .map(|(s, value)| Item { size: s.along, value: *value, most: s.most })
            .collect();
        let fillings = all(&items, roll.length, worth - slack, MOST_FILLINGS)?;
        columns.fillings.extend(fillings.into_iter().map(|counts| Filling { roll: r, counts }));
        let strips = slots.iter().zip(&values).map(|(slot, value)| {
            let (laid, items) = across(problem, r, slot.along, &bound.worth);
            let found = all(&items, roll.width, value - slack, MOST_STRIPS)?;
            let longest = |s: &Vec<usize>| s.iter().any(|l| problem.laid[*l].along == slot.along);
            Some(found.iter().map(|counts| spelt(&laid, counts)).filter(longest).collect())
        });
        columns.strips.push(strips.collect::<Option<Vec<_>>>()?);
        columns.slots.push(slots);
    }
    Some(columns)
}

/// Each laid piece as often as counted.
fn spelt(laid: &[usize], counts: &[u32]) -> Vec<usize> {
    let each = laid.iter().zip(counts);
    each.flat_map(|(l, n)| std::iter::repeat_n(*l, *n as usize)).collect()
}

impl Columns {
    /// Takes in a filling with its strips.
    fn learn(&mut self, used: &Used) {
        let mut counts = vec![0; self.slots[used.roll].len()];
        for Strip { along, laid } in &used.strips {
            let class = self.slots[used.roll].iter().position(|s| s.along == *along);
            let Some(class) = class else { continue };
            counts[class] += 1;
            let mut sorted = laid.clone();
            sorted.sort_unstable();
            // A smaller strip than one that is known brings nothing.
            let known = &mut self.strips[used.roll][class];
            if !known.iter().any(|k| contains(k, &sorted)) {
                known.insert(sorted);
            }
        }
        self.fillings.insert(Filling { roll: used.roll, counts });
    }
}

/// Whether a sorted list holds all of another.
fn contains(all: &[usize], some: &[usize]) -> bool {
    let mut rest = all.iter();
    some.iter().all(|s| rest.any(|a| a == s))
}
