//! The problem as an integer program: beds alike are counted together, choices that can never be needed left out.

use milp::{Model, Row, Sense};

use crate::plan::problem::{Choice, PlanError, Problem};

/// A model of a problem, and what its variables stand for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Program {
    /// The model.
    pub model: Model,
    /// Beds with the same choices: only a count tells them apart.
    groups: Vec<Vec<usize>>,
    /// Group and choice of each variable; its value is how many beds of the group have the choice.
    stands_for: Vec<(usize, usize)>,
}

impl Program {
    /// One variable for each choice that may be needed; a row for each group, stock line and the time.
    #[must_use]
    pub fn from_problem(problem: &Problem) -> Self {
        let groups = alike(problem);
        let mut model = Model::default();
        let mut stands_for = Vec::new();
        let mut chosen: Vec<&Choice> = Vec::new();
        for (g, beds) in groups.iter().enumerate() {
            let choices = &problem.beds[beds[0]];
            let first = chosen.len();
            for c in (0..choices.len()).filter(|c| *c == 0 || !dominated(problem, choices, *c)) {
                stands_for.push((g, c));
                chosen.push(&choices[c]);
                model.most.push(beds.len() as i32);
            }
            let terms = (first..chosen.len()).map(|v| (v, 1.0)).collect();
            model.rows.push(Row { terms, sense: Sense::Equal, right: beds.len() as f64 });
        }
        model.objective = chosen.iter().map(|c| problem.cost(c)).collect();
        for (line, there) in problem.available.iter().enumerate() {
            let used = chosen.iter().map(|c| f64::from(c.uses_of(line)));
            model.rows.extend(at_most(used, f64::from(*there)));
        }
        let seconds = chosen.iter().map(|c| f64::from(c.seconds));
        model.rows.extend(at_most(seconds, f64::from(problem.seconds)));
        Self { model, groups, stands_for }
    }

    /// The choices in a solution of the model.
    ///
    /// # Errors
    /// [`PlanError::Bug`] when the counts do not give each bed one choice.
    pub fn read(&self, beds: usize, counts: &[i32]) -> Result<Vec<usize>, PlanError> {
        let mut choice = vec![0; beds];
        let mut waiting: Vec<_> = self.groups.iter().map(|g| g.iter()).collect();
        for ((group, c), count) in self.stands_for.iter().zip(counts) {
            for _ in 0..*count {
                let bed = waiting[*group]
                    .next()
                    .ok_or_else(|| PlanError::Bug("two choices for one bed".into()))?;
                choice[*bed] = *c;
            }
        }
        if waiting.iter().any(|beds| beds.len() > 0) {
            return Err(PlanError::Bug("no choice for a bed".into()));
        }
        Ok(choice)
    }
}

/// Beds by their choices, in the order of each group's first bed.
fn alike(problem: &Problem) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (b, choices) in problem.beds.iter().enumerate() {
        match groups.iter_mut().find(|g| problem.beds[g[0]] == *choices) {
            Some(group) => group.push(b),
            None => groups.push(vec![b]),
        }
    }
    groups
}

/// The row Σ coefficient · x ≤ right, unless nothing is in it.
fn at_most(coefficients: impl Iterator<Item = f64>, right: f64) -> Option<Row> {
    let terms: Vec<(usize, f64)> = coefficients.enumerate().filter(|(_, a)| *a > 0.0).collect();
    (!terms.is_empty()).then_some(Row { terms, sense: Sense::AtMost, right })
}

/// Whether a choice is no better than another in anything and so can never be needed.
fn dominated(problem: &Problem, choices: &[Choice], c: usize) -> bool {
    let me = &choices[c];
    choices.iter().enumerate().any(|(d, other)| {
        let no_worse = other.seconds <= me.seconds
            && problem.cost(other) <= problem.cost(me)
            && (0..problem.available.len()).all(|l| other.uses_of(l) <= me.uses_of(l));
        no_worse && d != c && (d < c || problem.cost(other) < problem.cost(me))
    })
}
