//! Each night foretold from the nights before it, and how well.

use learning::{Lessons, Night};
use weather::error_model::sigma_air_k;

use crate::sets::{Pair, Set};

/// Readings learned from.
pub const NIGHTS: [usize; 6] = [0, 5, 10, 20, 30, 100];
/// Lead that the pairs were forecast at, h.
const LEAD_H: f64 = 12.0;

/// One night foretold.
#[derive(Clone, Copy, Debug)]
pub struct Foretold {
    pub said_c: f64,
    pub error_k: f64,
    /// Chance said of a lower reading than came.
    pub rank: f64,
    /// Chance said of a reading below 0 °C, and whether it was.
    pub frost: (f64, bool),
}

/// Every judged night of one place after `n` readings.
pub fn foretell(set: &Set, pairs: &[Pair], n: usize) -> Vec<Foretold> {
    let sigma_k = sigma_air_k(LEAD_H);
    let night =
        |p: &Pair| Night { day: p.day, error_k: p.read_c - p.said_c, clear: p.clear, sigma_k };
    let judged = (set.before..pairs.len()).step_by(set.step);
    judged
        .map(|i| {
            let nights: Vec<Night> = pairs[i - n..i].iter().map(night).collect();
            let target = pairs[i];
            let came = target.read_c - target.said_c;
            let lessons = Lessons::from_nights(&set.prior, &nights);
            let frost = |chance| (chance, target.read_c < 0.0);
            match lessons.outlook(target.day, target.clear, sigma_k) {
                Some(said) => Foretold {
                    said_c: target.said_c,
                    error_k: came - said.mean_k(),
                    rank: said.chance_below(came),
                    frost: frost(said.chance_below(-target.said_c)),
                },
                None => Foretold {
                    said_c: target.said_c,
                    error_k: came,
                    rank: normal_cdf(came / sigma_k),
                    frost: frost(normal_cdf(-target.said_c / sigma_k)),
                },
            }
        })
        .collect()
}

fn normal_cdf(z: f64) -> f64 {
    weather::frost::normal::cdf(z)
}

/// Root of the mean square of what was off.
pub fn rmse(all: &[Foretold]) -> f64 {
    (all.iter().map(|f| f.error_k * f.error_k).sum::<f64>() / all.len() as f64).sqrt()
}

/// Share of nights within the band that should hold `share` of them.
pub fn inside(all: &[Foretold], share: f64) -> f64 {
    let within = |f: &&Foretold| (f.rank - 0.5).abs() <= 0.5 * share;
    all.iter().filter(within).count() as f64 / all.len() as f64
}

/// Brier score of the chance of frost.
pub fn brier(all: &[Foretold]) -> f64 {
    let square = |f: &Foretold| (f.frost.0 - f64::from(u8::from(f.frost.1))).powi(2);
    all.iter().map(square).sum::<f64>() / all.len() as f64
}
