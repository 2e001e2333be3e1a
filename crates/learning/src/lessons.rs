//! Many accounts of the garden side by side, weighed by how well each foretold.

use crate::belief::{Belief, Time};
use crate::constants::{
    ERROR_SCALE_SIGMA_LN, ERROR_SCALES, FEWEST_NIGHTS, OFFSET_CHANCES, OFFSET_SCALES,
};
use crate::outlook::{Outlook, Part};
use crate::prior::Prior;

/// A night that was forecast and read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Night {
    /// Its number in days; any day may be nought.
    pub day: f64,
    /// Lowest reading less the forecast's low, K.
    pub error_k: f64,
    /// How clear and calm it was expected to be: any scale with the prior's own, 0 where not known.
    pub clear: f64,
    /// Standard deviation stated for a forecast of that lead, K.
    pub sigma_k: f64,
}

/// What the nights so far have taught.
#[derive(Clone, Debug)]
pub struct Lessons {
    beliefs: Vec<Belief>,
    nights: usize,
    last_day: f64,
}

impl Lessons {
    /// Nothing yet.
    #[must_use]
    pub fn none(prior: &Prior) -> Self {
        let account = |(scale, chance): (&f64, &f64)| {
            let (scale, ln) = (*scale, chance.ln());
            ERROR_SCALES.map(|error| {
                let far = error.ln() / ERROR_SCALE_SIGMA_LN;
                Belief::new(prior, scale, error, ln - 0.5 * far * far)
            })
        };
        let beliefs = OFFSET_SCALES.iter().zip(&OFFSET_CHANCES).flat_map(account).collect();
        Self { beliefs, nights: 0, last_day: f64::NEG_INFINITY }
    }

    /// From nights in the order of their days.
    ///
    /// Checked by `lessons::known_gardens_are_recovered` and, on measured pairs,
    /// by `examples/pairs`.
    #[must_use]
    pub fn from_nights(prior: &Prior, nights: &[Night]) -> Self {
        let mut lessons = Self::none(prior);
        nights.iter().for_each(|night| lessons.read(night));
        lessons
    }

    /// Draws on one more night, not before the last.
    pub fn read(&mut self, night: &Night) {
        let time = self.since(night.day);
        for belief in &mut self.beliefs {
            if let Some(time) = &time {
                belief.pass(time);
            }
            belief.read(night);
        }
        self.nights += 1;
        self.last_day = night.day;
    }

    /// What passed since the last reading; `None` before the first.
    fn since(&self, day: f64) -> Option<Time> {
        let nights = day - self.last_day;
        nights.is_finite().then(|| Time::new(nights.max(0.0)))
    }

    /// Nights drawn on.
    #[must_use]
    pub fn nights(&self) -> usize {
        self.nights
    }

    /// How far a night of `day` will lie from its forecast; `None` before five nights are drawn on.
    #[must_use]
    pub fn outlook(&self, day: f64, clear: f64, sigma_k: f64) -> Option<Outlook> {
        (self.nights >= FEWEST_NIGHTS).then(|| self.any_outlook(day, clear, sigma_k))
    }

    /// The same from any number of nights.
    fn any_outlook(&self, day: f64, clear: f64, sigma_k: f64) -> Outlook {
        let time = self.since(day);
        let highest = self.beliefs.iter().map(|b| b.evidence).fold(f64::NEG_INFINITY, f64::max);
        let weights: Vec<f64> = self.beliefs.iter().map(|b| (b.evidence - highest).exp()).collect();
        let all: f64 = weights.iter().sum();
        let parts = self.beliefs.iter().zip(&weights).map(|(belief, weight)| {
            let mut belief = belief.clone();
            if let Some(time) = &time {
                belief.pass(time);
            }
            Part::new(weight / all, &belief, clear, sigma_k)
        });
        Outlook::new(parts.collect())
    }
}
