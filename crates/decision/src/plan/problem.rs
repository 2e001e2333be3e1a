//! What may be chosen, what it costs and uses, and the check of a plan against every constraint.

use crate::plan::solver::{Model, Row, Sense};

/// One way to spend the night for one bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Expected money lost.
    pub expected_loss: f64,
    /// Person-minutes.
    pub minutes: f64,
    /// Stock line and how much of it.
    pub uses: Vec<(usize, u32)>,
}

/// One evening.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// Choices of each bed; the first leaves it open and uses nothing.
    pub beds: Vec<Vec<Choice>>,
    /// Stock by line.
    pub available: Vec<u32>,
    /// Person-minutes before dark.
    pub minutes: f64,
    /// Money a person-minute is worth.
    pub wage_per_minute: f64,
}

/// One choice for every bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Index into each bed's choices.
    pub choice: Vec<usize>,
    /// Expected loss and labour, money.
    pub cost: f64,
    /// Expected loss, money.
    pub expected_loss: f64,
    /// Person-minutes.
    pub minutes: f64,
    /// Whether it is proven to be the best.
    pub optimal: bool,
}

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PlanError {
    /// A number that is negative, infinite or not a number, or a bed without choices.
    #[error("the plan's input is not a problem: {0}")]
    BadNumber(String),
    /// An answer that breaks a constraint: our bug.
    #[error("the planner broke a constraint: {0}")]
    Bug(String),
}

impl Problem {
    /// Whether every number is one.
    ///
    /// # Errors
    /// [`PlanError::BadNumber`].
    pub fn check(&self) -> Result<(), PlanError> {
        let good = |x: f64| x.is_finite() && x >= 0.0;
        let bad = |what: &str| Err(PlanError::BadNumber(what.to_owned()));
        if !good(self.minutes) || !good(self.wage_per_minute) {
            return bad("minutes and wage must be finite and not negative");
        }
        for choices in &self.beds {
            let Some(open) = choices.first() else { return bad("a bed without choices") };
            if open.minutes > 0.0 || !open.uses.is_empty() {
                return bad("leaving a bed open must cost nothing");
            }
            for c in choices {
                if !good(c.expected_loss) || !good(c.minutes) {
                    return bad("losses and minutes must be finite and not negative");
                }
                if c.uses.iter().any(|(line, _)| *line >= self.available.len()) {
                    return bad("a choice uses a stock line that does not exist");
                }
            }
        }
        Ok(())
    }

    /// Cost of one choice, money.
    #[must_use]
    pub fn cost(&self, choice: &Choice) -> f64 {
        choice.expected_loss + self.wage_per_minute * choice.minutes
    }

    /// The plan of these choices, its sums worked out afresh.
    #[must_use]
    pub fn plan_of(&self, choice: Vec<usize>, optimal: bool) -> Plan {
        let chosen = || self.beds.iter().zip(&choice).filter_map(|(b, c)| b.get(*c));
        let cost = chosen().map(|c| self.cost(c)).sum();
        let expected_loss = chosen().map(|c| c.expected_loss).sum();
        let minutes = chosen().map(|c| c.minutes).sum();
        Plan { cost, expected_loss, minutes, optimal, choice }
    }

    /// Whether these choices keep within stock and time.
    #[must_use]
    pub fn feasible(&self, choice: &[usize]) -> bool {
        self.verify(&self.plan_of(choice.to_vec(), false)).is_ok()
    }

    /// Checks a plan against every constraint, independently of how it was found.
    ///
    /// # Errors
    /// [`PlanError::Bug`] names what is broken.
    pub fn verify(&self, plan: &Plan) -> Result<(), PlanError> {
        let bug = |what: String| Err(PlanError::Bug(what));
        if plan.choice.len() != self.beds.len() {
            return bug("not one choice for each bed".into());
        }
        let mut used = vec![0_u64; self.available.len()];
        let mut minutes = 0.0;
        for (bed, c) in self.beds.iter().zip(&plan.choice) {
            let Some(choice) = bed.get(*c) else {
                return bug("a choice that does not exist".into());
            };
            minutes += choice.minutes;
            for (line, n) in &choice.uses {
                used[*line] += u64::from(*n);
            }
        }
        for (line, (used, there)) in used.iter().zip(&self.available).enumerate() {
            if *used > u64::from(*there) {
                return bug(format!("{used} of stock line {line}, there are {there}"));
            }
        }
        if minutes > self.minutes + 1e-6 {
            return bug(format!("{minutes} minutes of {}", self.minutes));
        }
        Ok(())
    }

    /// Whether a choice is no better than another in anything and so can never be needed.
    fn dominated(&self, bed: usize, c: usize) -> bool {
        let choices = &self.beds[bed];
        let me = &choices[c];
        let uses = |choice: &Choice, line: usize| {
            choice.uses.iter().filter(|u| u.0 == line).map(|u| u.1).sum::<u32>()
        };
        choices.iter().enumerate().any(|(d, other)| {
            let no_worse = other.minutes <= me.minutes
                && self.cost(other) <= self.cost(me)
                && (0..self.available.len()).all(|l| uses(other, l) <= uses(me, l));
            no_worse && d != c && (d < c || self.cost(other) < self.cost(me))
        })
    }

    /// The neutral model: one 0/1 variable for every choice that is not dominated.
    #[must_use]
    pub fn model(&self) -> Model {
        let mut objective = Vec::new();
        let mut of = Vec::new();
        let mut rows = Vec::new();
        for (b, choices) in self.beds.iter().enumerate() {
            let first = objective.len();
            for (c, choice) in choices.iter().enumerate() {
                if c > 0 && self.dominated(b, c) {
                    continue;
                }
                objective.push(self.cost(choice));
                of.push((b, c));
            }
            let terms = (first..objective.len()).map(|v| (v, 1.0)).collect();
            rows.push(Row { terms, sense: Sense::Equal, right: 1.0 });
        }
        let choice = |v: &(usize, usize)| &self.beds[v.0][v.1];
        for (line, there) in self.available.iter().enumerate() {
            let terms: Vec<(usize, f64)> = of
                .iter()
                .enumerate()
                .map(|(v, bc)| {
                    let n: u32 = choice(bc).uses.iter().filter(|u| u.0 == line).map(|u| u.1).sum();
                    (v, f64::from(n))
                })
                .filter(|t| t.1 > 0.0)
                .collect();
            if !terms.is_empty() {
                rows.push(Row { terms, sense: Sense::AtMost, right: f64::from(*there) });
            }
        }
        let minutes: Vec<(usize, f64)> = of
            .iter()
            .enumerate()
            .map(|(v, bc)| (v, choice(bc).minutes))
            .filter(|t| t.1 > 0.0)
            .collect();
        if !minutes.is_empty() {
            rows.push(Row { terms: minutes, sense: Sense::AtMost, right: self.minutes });
        }
        Model { objective, rows, of }
    }

    /// The plan in a solution of the model.
    #[must_use]
    pub fn plan_from(&self, chosen: &[(usize, usize)], optimal: bool) -> Plan {
        let mut choice = vec![0; self.beds.len()];
        for (b, c) in chosen {
            choice[*b] = *c;
        }
        self.plan_of(choice, optimal)
    }
}
