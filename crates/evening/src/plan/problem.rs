//! What may be chosen, what it costs and uses, and the check of a plan against every constraint.

/// One way to spend the night for one bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Expected money lost.
    pub expected_loss: f64,
    /// Person-seconds of work; whole, so that no plan overruns its time by less than the solver can see.
    pub seconds: u32,
    /// Stock line and how much of it.
    pub uses: Vec<(usize, u32)>,
}

impl Choice {
    /// How much of a stock line it uses.
    #[must_use]
    pub fn uses_of(&self, line: usize) -> u32 {
        self.uses.iter().filter(|u| u.0 == line).map(|u| u.1).sum()
    }
}

/// One evening.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// Choices of each bed; the first leaves it as it lies, without work. All of the first together keep within stock.
    pub beds: Vec<Vec<Choice>>,
    /// Stock by line.
    pub available: Vec<u32>,
    /// Person-seconds before dark.
    pub seconds: u32,
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
    /// Person-seconds.
    pub seconds: u64,
    /// How much dearer than the best it can be at most, as a share of its cost: 0 when proven best, `None` when nothing is proven.
    pub gap: Option<f64>,
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
    /// Whether every number is one, and the first choices of all beds can be done together.
    ///
    /// # Errors
    /// [`PlanError::BadNumber`].
    pub fn check(&self) -> Result<(), PlanError> {
        let good = |x: f64| x.is_finite() && x >= 0.0;
        let bad = |what: &str| Err(PlanError::BadNumber(what.to_owned()));
        if !good(self.wage_per_minute) {
            return bad("the wage must be finite and not negative");
        }
        for choices in &self.beds {
            if choices.is_empty() {
                return bad("a bed without choices");
            }
            for c in choices {
                if !good(c.expected_loss) {
                    return bad("losses must be finite and not negative");
                }
                if c.uses.iter().any(|(line, _)| *line >= self.available.len()) {
                    return bad("a choice uses a stock line that does not exist");
                }
            }
        }
        if !self.feasible(&vec![0; self.beds.len()]) {
            return bad("the first choices of the beds must fit together");
        }
        Ok(())
    }

    /// Cost of one choice, money.
    #[must_use]
    pub fn cost(&self, choice: &Choice) -> f64 {
        choice.expected_loss + self.wage_per_minute * f64::from(choice.seconds) / 60.0
    }

    /// The plan of these choices, its sums worked out afresh.
    #[must_use]
    pub fn plan_of(&self, choice: Vec<usize>, gap: Option<f64>) -> Plan {
        let chosen = || self.beds.iter().zip(&choice).filter_map(|(b, c)| b.get(*c));
        let cost = chosen().map(|c| self.cost(c)).sum();
        let expected_loss = chosen().map(|c| c.expected_loss).sum();
        let seconds = chosen().map(|c| u64::from(c.seconds)).sum();
        Plan { cost, expected_loss, seconds, gap, choice }
    }

    /// Whether these choices keep within stock and time.
    #[must_use]
    pub fn feasible(&self, choice: &[usize]) -> bool {
        self.verify(&self.plan_of(choice.to_vec(), None)).is_ok()
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
        let mut seconds = 0;
        for (bed, c) in self.beds.iter().zip(&plan.choice) {
            let Some(choice) = bed.get(*c) else {
                return bug("a choice that does not exist".into());
            };
            seconds += u64::from(choice.seconds);
            for (line, n) in &choice.uses {
                used[*line] += u64::from(*n);
            }
        }
        for (line, (used, there)) in used.iter().zip(&self.available).enumerate() {
            if *used > u64::from(*there) {
                return bug(format!("{used} of stock line {line}, there are {there}"));
            }
        }
        if seconds > u64::from(self.seconds) {
            return bug(format!("{seconds} person-seconds of {}", self.seconds));
        }
        Ok(())
    }
}
