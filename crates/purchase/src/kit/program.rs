//! The integer program: ways, unmet wants, pieces, rolls, pins. Beds alike are counted together.

use crate::kit::capacity_cuts::CapacityCut;
use crate::kit::error::KitError;
use crate::kit::feedback_cuts::FeedbackCut;
use crate::kit::problem::{CUTTING, Choice, Fixings, Origin, Problem, Way};
use milp::{Model, Row, Sense};

/// Like wants of like beds, dearest to leave unmet first.
struct Lot {
    wants: Vec<usize>,
    /// Variable of each way: how many of the wants are met by it.
    ways: Vec<usize>,
}

/// The program and what its variables stand for.
pub struct Program<'a> {
    problem: &'a Problem,
    /// The program.
    pub model: Model,
    lots: Vec<Lot>,
    /// Variable of each size: pieces owned.
    sizes: Vec<usize>,
    /// Variable of each kind of roll: rolls bought.
    rolls: Vec<usize>,
}

impl<'a> Program<'a> {
    /// minimise Σ price R / seasons + Σ penalty u over: every want met or not; of each size as many pieces y as are
    /// wanted in any half-month; rolls R with room for the pieces.
    pub fn new(problem: &'a Problem, capacity: &[CapacityCut], feedback: &[FeedbackCut]) -> Self {
        let mut program = Self {
            problem,
            model: Model::default(),
            lots: Vec::new(),
            sizes: Vec::new(),
            rolls: Vec::new(),
        };
        let beds = program.add_lots();
        program.add_sizes();
        program.add_hoops(&beds);
        program.add_rolls(capacity);
        let mut spent = program.rolls.iter().map(|v| (*v, 0.0)).collect::<Vec<_>>();
        for (term, roll) in spent.iter_mut().zip(&problem.rolls) {
            term.1 = roll.price;
        }
        for (fixings, takes) in [
            (problem.pins, (|w: &Way| w.pins) as fn(&Way) -> u32),
            (problem.clips, |w: &Way| w.clips),
        ] {
            spent.push((program.add_fixings(fixings, takes), fixings.price));
        }
        spent.retain(|t| t.1 > 0.0);
        if problem.budget.is_finite() && !spent.is_empty() {
            program.model.at_most(spent, problem.budget);
        }
        if let Some(most) = problem.seconds {
            program.in_every_slot(|w| w.seconds, None, f64::from(most));
        }
        feedback.iter().for_each(|l| program.add_feedback_cut(l));
        program
    }

    /// Wants met or unmet; for each group of beds alike, its beds and its lots.
    fn add_lots(&mut self) -> Vec<(Vec<usize>, Vec<usize>)> {
        let mut groups = Vec::new();
        for beds in alike(self.problem) {
            let wants = |b: &usize| wants_of(self.problem, *b);
            let columns: Vec<Vec<usize>> = beds.iter().map(wants).collect();
            let mut lots = Vec::new();
            for k in 0..columns.first().map_or(0, Vec::len) {
                let wants: Vec<usize> = columns.iter().map(|c| c[k]).collect();
                lots.push(self.lots.len());
                self.add_lot(wants);
            }
            groups.push((beds, lots));
        }
        groups
    }

    fn add_lot(&mut self, wants: Vec<usize>) {
        let n = wants.len() as u32;
        let ways = &self.problem.wants[wants[0]].ways;
        let ways: Vec<usize> = ways.iter().map(|w| self.model.var(w.handling_cost, n)).collect();
        let mut terms: Vec<(usize, f64)> = ways.iter().map(|v| (*v, 1.0)).collect();
        for want in &wants {
            terms.push((self.model.var(self.problem.wants[*want].penalty, 1), 1.0));
        }
        self.model.rows.push(Row { terms, sense: Sense::Equal, right: f64::from(n) });
        self.lots.push(Lot { wants, ways });
    }

    /// Every way of every lot with its variable.
    fn each_way(&self) -> impl Iterator<Item = (usize, usize, &'a Way)> {
        let ways = |(l, lot): (usize, &Lot)| {
            let ways = &self.problem.wants[lot.wants[0]].ways;
            lot.ways.iter().zip(ways).map(move |(v, w)| (l, *v, w)).collect::<Vec<_>>()
        };
        self.lots.iter().enumerate().flat_map(ways).collect::<Vec<_>>().into_iter()
    }

    /// Rows that hold in every half-month: Σ takes · way ≤ right + owned; those that another implies left out.
    fn in_every_slot(&mut self, takes: impl Fn(&Way) -> u32, owned: Option<usize>, right: f64) {
        let terms: Vec<(u128, usize, f64)> = self
            .each_way()
            .map(|(l, v, w)| {
                (self.problem.wants[self.lots[l].wants[0]].slots, v, f64::from(takes(w)))
            })
            .filter(|t| t.2 > 0.0)
            .collect();
        let in_slot = |s: u32| -> Vec<(usize, f64)> {
            terms.iter().filter(|t| t.0 >> s & 1 == 1).map(|t| (t.1, t.2)).collect()
        };
        for mut row in largest((0..self.problem.slots()).map(in_slot).collect()) {
            row.extend(owned.map(|v| (v, -1.0)));
            self.model.at_most(row, right);
        }
    }

    fn add_sizes(&mut self) {
        for s in 0..self.problem.sizes.len() {
            let takes = move |w: &Way| if w.size == s { w.pieces } else { 0 };
            let all: u32 = self
                .problem
                .wants
                .iter()
                .map(|w| w.ways.iter().map(takes).max().unwrap_or(0))
                .sum();
            let hoops = self.problem.hoops.iter().flatten().filter(|h| h.size == s);
            let (most, cost) = match self.problem.sizes[s].from {
                Origin::Stock(count) => (count.min(all), 0.0),
                Origin::Goods(_) => (all + hoops.map(|h| h.count).sum::<u32>(), CUTTING),
            };
            let owned = self.model.var(cost, most);
            self.sizes.push(owned);
            self.in_every_slot(takes, Some(owned), 0.0);
        }
    }

    /// Beds covered over hoops, in each group, and the hoops they take.
    fn add_hoops(&mut self, groups: &[(Vec<usize>, Vec<usize>)]) {
        let mut taken: Vec<(usize, usize, f64)> = Vec::new();
        for (beds, lots) in groups {
            let Some(hoops) = beds.first().and_then(|b| self.problem.hoops[*b]) else { continue };
            let covered = self.model.var(0.0, beds.len() as u32);
            taken.push((hoops.size, covered, f64::from(hoops.count)));
            for l in lots {
                let over = self.each_way().filter(|(lot, _, w)| lot == l && w.hoops);
                let mut row: Vec<(usize, f64)> = over.map(|(_, v, _)| (v, 1.0)).collect();
                if !row.is_empty() {
                    row.push((covered, -1.0));
                    self.model.at_most(row, 0.0);
                }
            }
        }
        for (s, owned) in self.sizes.clone().into_iter().enumerate() {
            let of_size = taken.iter().filter(|t| t.0 == s);
            let mut row: Vec<(usize, f64)> = of_size.map(|t| (t.1, t.2)).collect();
            if !row.is_empty() {
                row.push((owned, -1.0));
                self.model.at_most(row, 0.0);
            }
        }
    }

    fn add_rolls(&mut self, capacity: &[CapacityCut]) {
        let p = self.problem;
        for roll in &p.rolls {
            let from_it = |s: &usize| p.sizes[*s].from == Origin::Goods(roll.goods);
            let pieces = (0..p.sizes.len()).filter(from_it).map(|s| self.model.most[self.sizes[s]]);
            let most = pieces.sum::<i32>().max(0) as u32;
            let cost = roll.price / p.goods[roll.goods].seasons;
            self.rolls.push(self.model.var(cost, roll.at_most.unwrap_or(u32::MAX).min(most)));
        }
        for cut in capacity {
            let pieces = cut.pieces.iter().map(|(s, worth)| (self.sizes[*s], *worth));
            let held = cut.rolls.iter().map(|(r, most)| (self.rolls[*r], -most * (1.0 + 1e-9)));
            let row = pieces.chain(held).collect();
            self.model.at_most(row, 0.0);
        }
    }

    fn add_fixings(&mut self, fixings: Fixings, takes: fn(&Way) -> u32) -> usize {
        let want = |w: &crate::kit::problem::Want| w.ways.iter().map(takes).max().unwrap_or(0);
        let all: u32 = self.problem.wants.iter().map(want).sum();
        let bought = self.model.var(fixings.price / fixings.seasons, all);
        self.in_every_slot(takes, Some(bought), f64::from(fixings.have));
        bought
    }

    /// Who owns all these pieces pays at least so much: A (Σ b − n + 1) ≤ Σ price R, with b = 1 where y reaches its number.
    fn add_feedback_cut(&mut self, cut: &FeedbackCut) {
        let mut row = Vec::new();
        let unpayable = cut.at_least.is_infinite();
        let least = if unpayable { 1.0 } else { cut.at_least };
        for (sizes, n) in &cut.pieces {
            let reached = self.model.var(0.0, 1);
            let owned = sizes.iter().map(|s| self.sizes[*s]);
            let most: f64 = owned.clone().map(|v| f64::from(self.model.most[v])).sum();
            let mut terms: Vec<(usize, f64)> = owned.map(|v| (v, 1.0)).collect();
            terms.push((reached, f64::from(*n) - 1.0 - most));
            self.model.at_most(terms, f64::from(*n) - 1.0);
            row.push((reached, least));
        }
        let spare = least * (row.len() as f64 - 1.0);
        if !unpayable {
            for (v, roll) in self.rolls.iter().zip(&self.problem.rolls) {
                if roll.goods == cut.goods && roll.price > 0.0 {
                    row.push((*v, -roll.price));
                }
            }
        }
        self.model.at_most(row, spare);
    }

    /// The choice of a solution.
    ///
    /// # Errors
    /// [`KitError::Bug`] when more wants are met than there are.
    pub fn read(&self, counts: &[i32]) -> Result<Choice, KitError> {
        let mut choice = vec![None; self.problem.wants.len()];
        for lot in &self.lots {
            let mut waiting = lot.wants.iter();
            for (w, v) in lot.ways.iter().enumerate() {
                for _ in 0..counts[*v] {
                    let bug = || KitError::Bug("two covers for one want".into());
                    choice[*waiting.next().ok_or_else(bug)?] = Some(w);
                }
            }
        }
        Ok(choice)
    }

    /// What a solution pays for a cloth or wire.
    pub fn paid(&self, goods: usize, counts: &[i32]) -> f64 {
        let rolls = self.rolls.iter().zip(&self.problem.rolls).filter(|(_, r)| r.goods == goods);
        rolls.map(|(v, r)| f64::from(counts[*v]) * r.price).sum()
    }
}

/// Wants of a bed.
fn wants_of(problem: &Problem, bed: usize) -> Vec<usize> {
    (0..problem.wants.len()).filter(|w| problem.wants[*w].bed == bed).collect()
}

/// Beds whose wants can be met in the same ways at the same times; in each group dearest to leave unmet first.
fn alike(problem: &Problem) -> Vec<Vec<usize>> {
    let key = |b: usize| {
        let wants = wants_of(problem, b).into_iter().map(|w| &problem.wants[w]);
        (problem.hoops[b], wants.map(|w| (w.slots, &w.ways)).collect::<Vec<_>>())
    };
    let penalty =
        |b: &usize| wants_of(problem, *b).first().map_or(0.0, |w| problem.wants[*w].penalty);
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for b in 0..problem.hoops.len() {
        match groups.iter_mut().find(|g| key(g[0]) == key(b)) {
            Some(group) => group.push(b),
            None => groups.push(vec![b]),
        }
    }
    groups.iter_mut().for_each(|g| g.sort_by(|a, b| penalty(b).total_cmp(&penalty(a))));
    groups
}

/// Rows that are part of no other.
pub fn largest(mut rows: Vec<Vec<(usize, f64)>>) -> Vec<Vec<(usize, f64)>> {
    rows.sort_by_key(|r| std::cmp::Reverse(r.len()));
    let mut kept: Vec<Vec<(usize, f64)>> = Vec::new();
    for row in rows.into_iter().filter(|r| !r.is_empty()) {
        if !kept.iter().any(|k| row.iter().all(|t| k.contains(t))) {
            kept.push(row);
        }
    }
    kept
}
