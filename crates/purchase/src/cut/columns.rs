//! The cutting patterns that a better cut could use, and no others.

use std::collections::BTreeSet;

use crate::cut::knapsack::{Item, every_filling};
use crate::cut::lower_bound::{LowerBound, Priced, across, pricing};
use crate::cut::problem::{Pattern, Problem, Strip, StripClass};

/// Fillings and strips kept at most, for each roll and for each class of strips.
const MOST_ROLL_PATTERNS: usize = 800;
const MOST_STRIP_PATTERNS: usize = 300;

/// How many strips of each class a roll is cut into.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct RollPattern {
    /// Kind of roll.
    pub roll: usize,
    /// Strips of each class.
    pub counts: Vec<u32>,
}

/// Fillings of rolls, and strips for each class of each roll.
#[derive(Clone, Debug, Default)]
pub struct Columns {
    /// Classes of strips of each roll.
    pub classes: Vec<Vec<StripClass>>,
    /// Ways to cut rolls into strips.
    pub roll_patterns: BTreeSet<RollPattern>,
    /// Ways to slit strips, by roll and class, as sorted laid pieces.
    pub strips: Vec<Vec<BTreeSet<Vec<usize>>>>,
    /// Whether every cut no dearer than the target is made of these.
    pub complete: bool,
}

/// All patterns and strips with a reduced cost of at most target − bound, which no cut that reaches the target can do
/// without; when they are too many, those of least reduced cost. With them, the ones already met.
///
/// Checked by `cut::every_small_case_in_one_dimension`.
pub fn columns(problem: &Problem, bound: &LowerBound, target: f64, met: &[Pattern]) -> Columns {
    let tolerance = 1e-7 * problem.rolls.iter().map(|r| r.cost).fold(0.0, f64::max);
    let slack = (target.min(problem.shortage_penalty()) - bound.value).max(0.0);
    let shares = [1.0, 0.25, 0.06, 0.015, 0.0];
    let found = shares.iter().find_map(|share| {
        let columns = within(problem, bound, share * slack + tolerance)?;
        Some(Columns { complete: *share == 1.0, ..columns })
    });
    let classes: Vec<Vec<StripClass>> =
        (0..problem.rolls.len()).map(|r| problem.classes(r)).collect();
    let strips = classes.iter().map(|s| vec![BTreeSet::new(); s.len()]).collect();
    let mut columns = found.unwrap_or(Columns { classes, strips, ..Columns::default() });
    for pattern in met.iter().chain(&bound.patterns) {
        columns.learn(pattern);
    }
    columns
}

/// Those with a reduced cost of at most `slack`; `None` when they are too many.
fn within(problem: &Problem, bound: &LowerBound, slack: f64) -> Option<Columns> {
    let mut columns = Columns::default();
    for (r, roll) in problem.rolls.iter().enumerate() {
        let classes = problem.classes(r);
        let Priced { at_most, classes: values, .. } = pricing(problem, r, &bound.duals);
        let enough = roll.cost.max(at_most);
        let items: Vec<Item> = classes
            .iter()
            .zip(&values)
            .map(|(s, value)| Item { size: s.along, value: *value, most: s.most })
            .collect();
        let roll_patterns = every_filling(&items, roll.length, enough - slack, MOST_ROLL_PATTERNS)?;
        columns
            .roll_patterns
            .extend(roll_patterns.into_iter().map(|counts| RollPattern { roll: r, counts }));
        let strips = classes.iter().zip(&values).map(|(class, value)| {
            let (oriented, items) = across(problem, r, class.along, &bound.duals);
            let found = every_filling(&items, roll.width, value - slack, MOST_STRIP_PATTERNS)?;
            let longest =
                |s: &Vec<usize>| s.iter().any(|l| problem.oriented[*l].along == class.along);
            Some(found.iter().map(|counts| repeated(&oriented, counts)).filter(longest).collect())
        });
        columns.strips.push(strips.collect::<Option<Vec<_>>>()?);
        columns.classes.push(classes);
    }
    Some(columns)
}

/// Each laid piece as often as counted.
fn repeated(oriented: &[usize], counts: &[u32]) -> Vec<usize> {
    let each = oriented.iter().zip(counts);
    each.flat_map(|(l, n)| std::iter::repeat_n(*l, *n as usize)).collect()
}

impl Columns {
    /// Takes in a pattern with its strips.
    fn learn(&mut self, pattern: &Pattern) {
        let mut counts = vec![0; self.classes[pattern.roll].len()];
        for Strip { along, oriented } in &pattern.strips {
            let class = self.classes[pattern.roll].iter().position(|s| s.along == *along);
            let Some(class) = class else { continue };
            counts[class] += 1;
            let mut sorted = oriented.clone();
            sorted.sort_unstable();
            // A smaller strip than one that is known brings nothing.
            let known = &mut self.strips[pattern.roll][class];
            if !known.iter().any(|k| contains(k, &sorted)) {
                known.insert(sorted);
            }
        }
        self.roll_patterns.insert(RollPattern { roll: pattern.roll, counts });
    }
}

/// Whether a sorted list holds all of another.
fn contains(all: &[usize], some: &[usize]) -> bool {
    let mut rest = all.iter();
    some.iter().all(|s| rest.any(|a| a == s))
}
