//! Beds, decisions and limits of several nights: plain data, no weather and no crops.

use crate::horizon::lattice::Lattice;
use crate::plan::PlanError;

/// The two kinds of decision.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Before a night; what lies then lies through the night.
    Evening,
    /// After a night; what lies then lies through the day.
    Morning,
}

/// One decision and the time there is for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Decision {
    /// Evening or morning.
    pub part: Part,
    /// Person-seconds.
    pub seconds: u32,
}

/// One thing that may be done with a bed: from what lies before to what lies after.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Move {
    /// State before.
    pub from: usize,
    /// State after.
    pub to: usize,
    /// Person-seconds.
    pub seconds: u32,
}

/// One bed. A state is what lies and how, and, where that matters later, what is lost already.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bed {
    /// By state, stock line and how much of it lies there.
    pub holds: Vec<Vec<(usize, u32)>>,
    /// State now.
    pub start: usize,
    /// Moves of an evening, sorted by the state before; the first of each state leaves the bed as it is.
    pub evening: Vec<Move>,
    /// Moves of a morning, in the same order.
    pub morning: Vec<Move>,
    /// By decision, money that is expected to be lost until the next: `costs[decision][move · nodes + node]`; labour not counted.
    pub costs: Vec<Vec<f64>>,
    /// By decision, the state that the next decision finds: `becomes[decision][state after · next nodes + next node]`.
    /// Empty where a state stays as it was left.
    pub becomes: Vec<Vec<usize>>,
}

/// Several nights.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Problem {
    /// The beds.
    pub beds: Vec<Bed>,
    /// Evenings and mornings in order.
    pub decisions: Vec<Decision>,
    /// What may become known.
    pub lattice: Lattice,
    /// Stock by line: no more may lie at any time.
    pub available: Vec<u32>,
    /// Money a person-minute is worth.
    pub wage_per_minute: f64,
}

impl Bed {
    /// Moves of a kind of decision.
    #[must_use]
    pub fn moves(&self, part: Part) -> &[Move] {
        match part {
            Part::Evening => &self.evening,
            Part::Morning => &self.morning,
        }
    }

    /// Index of the first move from a state.
    #[must_use]
    pub fn first_from(&self, part: Part, state: usize) -> usize {
        self.moves(part).partition_point(|m| m.from < state)
    }

    /// The state that the next decision finds, given what was left and the node that comes.
    #[must_use]
    pub fn found(&self, decision: usize, state: usize, next_nodes: usize, next: usize) -> usize {
        match self.becomes.get(decision) {
            Some(map) if !map.is_empty() => map[state * next_nodes + next],
            _ => state,
        }
    }

    /// How much of a stock line lies in a state.
    #[must_use]
    pub fn held(&self, state: usize, line: usize) -> u32 {
        self.holds[state].iter().filter(|h| h.0 == line).map(|h| h.1).sum()
    }

    fn fault(&self, problem: &Problem) -> Option<&'static str> {
        let states = self.holds.len();
        if self.start >= states {
            return Some("a bed starts in a state that does not exist");
        }
        if self.holds.iter().flatten().any(|h| h.0 >= problem.available.len()) {
            return Some("a state holds a stock line that does not exist");
        }
        for moves in [&self.evening, &self.morning] {
            if moves.iter().any(|m| m.from >= states || m.to >= states) {
                return Some("a move from or to a state that does not exist");
            }
            if !moves.is_sorted_by_key(|m| m.from) {
                return Some("moves must be sorted by the state before");
            }
        }
        for part in problem.decisions.iter().map(|d| d.part) {
            let stays = |s| {
                let first = self.moves(part).get(self.first_from(part, s));
                first == Some(&Move { from: s, to: s, seconds: 0 })
            };
            if !(0..states).all(stays) {
                return Some("the first move of a state must leave the bed as it is");
            }
        }
        if self.costs.len() != problem.decisions.len() {
            return Some("a bed's costs must be given for every decision");
        }
        for (t, decision) in problem.decisions.iter().enumerate() {
            let wanted = self.moves(decision.part).len() * problem.lattice.nodes(t);
            if self.costs[t].len() != wanted {
                return Some("a bed's costs must be given for every move and node");
            }
            if self.costs[t].iter().any(|c| !c.is_finite() || *c < 0.0) {
                return Some("costs must be finite and not negative");
            }
        }
        for (t, map) in self.becomes.iter().enumerate().filter(|(_, m)| !m.is_empty()) {
            let next = problem.lattice.nodes(t + 1);
            if map.len() != states * next || map.iter().any(|s| *s >= states) {
                return Some("what a state becomes must be a state for every node");
            }
            let grows = |(i, s): (usize, &usize)| {
                (0..problem.available.len()).any(|l| self.held(*s, l) > self.held(i / next, l))
            };
            if map.iter().enumerate().any(grows) {
                return Some("nothing may come to lie on a bed by itself");
            }
        }
        None
    }
}

impl Problem {
    /// Whether the numbers are a problem: then leaving every bed as it is can always be done.
    ///
    /// # Errors
    /// [`PlanError::BadNumber`].
    pub fn check(&self) -> Result<(), PlanError> {
        let bad = |what: &str| Err(PlanError::BadNumber(what.to_owned()));
        if !(self.wage_per_minute.is_finite() && self.wage_per_minute >= 0.0) {
            return bad("the wage must be finite and not negative");
        }
        if self.decisions.is_empty() || self.lattice.decisions() != self.decisions.len() {
            return bad("the lattice must have nodes for every decision, and there must be one");
        }
        if let Some(fault) = self.lattice.fault() {
            return bad(fault);
        }
        if let Some(fault) = self.beds.iter().find_map(|b| b.fault(self)) {
            return bad(fault);
        }
        for (line, there) in self.available.iter().enumerate() {
            let lying: u64 = self.beds.iter().map(|b| u64::from(b.held(b.start, line))).sum();
            if lying > u64::from(*there) {
                return bad("more lies on the beds than there is");
            }
        }
        Ok(())
    }

    /// Limits at each node of a decision: stock lines, then person-seconds.
    #[must_use]
    pub fn limit(&self, decision: usize, resource: usize) -> f64 {
        let there = self.available.get(resource).copied();
        f64::from(there.unwrap_or(self.decisions[decision].seconds))
    }

    /// Stock lines and the time.
    #[must_use]
    pub fn resources(&self) -> usize {
        self.available.len() + 1
    }

    /// Money for one second of work.
    #[must_use]
    pub fn wage_per_second(&self) -> f64 {
        self.wage_per_minute / 60.0
    }
}
