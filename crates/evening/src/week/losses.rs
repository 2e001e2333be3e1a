//! What one bed can lose in each night under each cover, and what each day costs: all that the plan asks of a bed.

use garden::fit::Cover as Fit;

use crate::lies::Lies;

/// The losses of one bed. A possible night is one of the weather's, the same for every cover.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BedLosses {
    /// What it can lose, money.
    pub worth: f64,
    /// Covers that are tried.
    pub options: Vec<Fit>,
    /// Its states, open first.
    pub lies: Vec<Lies>,
    /// The state now, index into `lies`.
    pub start: usize,
    /// By night and state, laid that evening: the share of `worth` that each possible night would take.
    pub laid: Vec<Vec<Vec<f64>>>,
    /// The same by night and option, left on since the night before; empty where it cannot be.
    pub left: Vec<Vec<Vec<f64>>>,
    /// By day and state, money.
    pub days: Vec<Vec<f64>>,
}

/// How a night under a state began.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Began {
    /// The state, brought about that evening.
    Laid(usize),
    /// The option, left on as it was all day.
    Left(usize),
}

impl BedLosses {
    /// How the night began that a move leads into.
    #[must_use]
    pub fn began(&self, night: usize, from: usize, to: usize) -> Began {
        match self.lies[to] {
            Lies::Shut(c) if from == to && c < self.left[night].len() => Began::Left(c),
            _ => Began::Laid(to),
        }
    }
}
