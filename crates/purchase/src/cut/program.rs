//! The integer program over patterns and strips.
//!
//! minimise Σ c_r y, such that each piece is given as often as it is wanted, strips of a class are no more than the
//! rolls cut have room for, and rolls are no more than there are.

use crate::cut::columns::{Columns, RollPattern};
use crate::cut::problem::{Pattern, Problem};
use milp::{Model, Row, Sense};

/// A model, and what its variables stand for.
pub struct Program {
    /// The model.
    pub model: Model,
    roll_patterns: Vec<RollPattern>,
    strips: Vec<(usize, usize, Vec<usize>)>,
}

/// The strips of a class of a roll.
enum StripChoice<'a> {
    /// None or one: every strip of the class is cut so.
    Fixed(Option<&'a Vec<usize>>),
    /// Several; the program chooses.
    Free,
}

/// How a class is cut.
fn strip_choice(columns: &Columns, roll: usize, class: usize) -> StripChoice<'_> {
    let strips = &columns.strips[roll][class];
    if strips.len() > 1 { StripChoice::Free } else { StripChoice::Fixed(strips.first()) }
}

impl Program {
    /// The program; `short` lets pieces be left over at a cost above that of any cut.
    pub fn new(problem: &Problem, columns: &Columns, at_least: f64, short: bool) -> Self {
        let mut model = Model::default();
        let mut given: Vec<Vec<(usize, f64)>> = vec![Vec::new(); problem.counts.len()];
        let mut rooms: Vec<Vec<Vec<(usize, f64)>>> =
            columns.classes.iter().map(|s| vec![Vec::new(); s.len()]).collect();
        let roll_patterns: Vec<RollPattern> = columns.roll_patterns.iter().cloned().collect();
        for (v, pattern) in roll_patterns.iter().enumerate() {
            model.objective.push(0.0);
            model.most.push(problem.most_rolls(pattern.roll) as i32);
            for (class, n) in pattern.counts.iter().enumerate().filter(|(_, n)| **n > 0) {
                match strip_choice(columns, pattern.roll, class) {
                    StripChoice::Free => rooms[pattern.roll][class].push((v, -f64::from(*n))),
                    StripChoice::Fixed(strip) => strip.into_iter().flatten().for_each(|l| {
                        given[problem.oriented[*l].piece].push((v, f64::from(*n)));
                    }),
                }
            }
        }
        let mut strips = Vec::new();
        for (roll, classes) in columns.strips.iter().enumerate() {
            for (class, known) in classes.iter().enumerate().filter(|(_, known)| known.len() > 1) {
                for strip in known {
                    let v = roll_patterns.len() + strips.len();
                    strips.push((roll, class, strip.clone()));
                    model.objective.push(0.0);
                    model.most.push(problem.pieces() as i32);
                    rooms[roll][class].push((v, 1.0));
                    strip.iter().for_each(|l| given[problem.oriented[*l].piece].push((v, 1.0)));
                }
            }
        }
        let rooms = rooms.into_iter().flatten().filter(|terms| !terms.is_empty());
        model.rows.extend(rooms.map(|terms| Row { terms, sense: Sense::AtMost, right: 0.0 }));
        let mut program = Self { model, roll_patterns, strips };
        program.wanted(problem, given, short);
        program.limits(problem, at_least);
        program
    }

    /// A row for each piece: Σ given ≥ wanted.
    fn wanted(&mut self, problem: &Problem, given: Vec<Vec<(usize, f64)>>, short: bool) {
        for (terms, count) in given.into_iter().zip(&problem.counts) {
            let mut terms = negated_sum(terms);
            if short {
                terms.push((self.model.objective.len(), -1.0));
                self.model.objective.push(problem.shortage_penalty());
                self.model.most.push(*count as i32);
            }
            self.model.rows.push(Row { terms, sense: Sense::AtMost, right: -f64::from(*count) });
        }
    }

    /// For each kind of roll how many are bought, and a row for the bound.
    ///
    /// The number bought follows from the patterns, but as a variable the search can branch on it, which decides most.
    fn limits(&mut self, problem: &Problem, at_least: f64) {
        for (r, roll) in problem.rolls.iter().enumerate() {
            let of_roll = self.roll_patterns.iter().enumerate().filter(|(_, f)| f.roll == r);
            let mut terms: Vec<(usize, f64)> = of_roll.map(|(v, _)| (v, 1.0)).collect();
            terms.push((self.model.objective.len(), -1.0));
            self.model.objective.push(roll.cost);
            self.model.most.push(problem.most_rolls(r) as i32);
            self.model.rows.push(Row { terms, sense: Sense::Equal, right: 0.0 });
        }
        let costs = self.model.objective.iter().enumerate().filter(|(_, c)| **c > 0.0);
        let terms = costs.map(|(v, c)| (v, -*c)).collect();
        let right = -at_least * (1.0 - 1e-9);
        self.model.rows.push(Row { terms, sense: Sense::AtMost, right });
    }

    /// The cut in a solution of the model; it may give more than is wanted.
    pub fn read(&self, problem: &Problem, columns: &Columns, counts: &[i32]) -> Vec<Pattern> {
        let (of_patterns, rest) = counts.split_at(self.roll_patterns.len().min(counts.len()));
        let mut waiting: Vec<Vec<Vec<&Vec<usize>>>> =
            columns.classes.iter().map(|s| vec![Vec::new(); s.len()]).collect();
        for ((roll, class, strip), n) in self.strips.iter().zip(rest) {
            let times = (*n).max(0) as usize;
            waiting[*roll][*class].extend(std::iter::repeat_n(strip, times));
        }
        let mut cut = Vec::new();
        for (pattern, n) in self.roll_patterns.iter().zip(of_patterns) {
            for _ in 0..*n {
                let mut strips = Vec::new();
                for (class, times) in pattern.counts.iter().enumerate() {
                    for _ in 0..*times {
                        let strip = match strip_choice(columns, pattern.roll, class) {
                            StripChoice::Fixed(strip) => strip,
                            StripChoice::Free => waiting[pattern.roll][class].pop(),
                        };
                        strips.extend(strip.map(|s| problem.strip(s.clone())));
                    }
                }
                cut.push(Pattern { roll: pattern.roll, strips });
            }
        }
        cut
    }
}

/// −Σ with each variable once.
fn negated_sum(mut terms: Vec<(usize, f64)>) -> Vec<(usize, f64)> {
    terms.sort_by_key(|(v, _)| *v);
    let mut out: Vec<(usize, f64)> = Vec::new();
    for (v, a) in terms {
        match out.last_mut() {
            Some((last, sum)) if *last == v => *sum -= a,
            _ => out.push((v, -a)),
        }
    }
    out
}
