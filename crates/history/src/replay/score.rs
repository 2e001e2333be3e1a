//! What the policies came to over the years, and how sure that is.

use weather::frost::Interval;
use weather::frost::bootstrap::{interval, resample};

use crate::constants::SCORE_DRAWS;
use crate::replay::outcome::{SeasonResult, Year};
use crate::replay::policies::{POLICIES, Policy};

/// One policy over all years.
#[derive(Clone, Debug, PartialEq)]
pub struct Score {
    /// The policy.
    pub policy: Policy,
    /// Mean of a year; counts as fractions.
    pub mean: Mean,
    /// Middle nine tenths of the mean yearly cost, had other such years been drawn.
    pub cost_spread: Option<Interval>,
    /// 1 for perfect foresight, 0 for the best rule, below 0 for what is worse than it; `None` where the best rule is perfect.
    pub value: Option<f64>,
    /// Middle nine tenths of that.
    pub value_spread: Option<Interval>,
}

/// A mean year.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Mean {
    /// Money lost to cold.
    pub loss: f64,
    /// Money of the work.
    pub labour: f64,
    /// Evenings with work.
    pub evenings: f64,
    /// Person-minutes.
    pub minutes: f64,
    /// Whole days of light, summed over beds.
    pub light_days: f64,
    /// Hours too hot under left-on covers, summed over beds.
    pub heat_h: f64,
    /// Nights with a cover short.
    pub short_nights: f64,
}

/// Every policy, and the place of the best rival among them.
#[derive(Clone, Debug, PartialEq)]
pub struct Scores {
    /// In the order of [`POLICIES`].
    pub each: Vec<Score>,
    /// The rival of least mean cost.
    pub best_rival: usize,
}

/// Scores the years; `None` without years.
///
/// V = (E_rule − E)/(E_rule − E_perfect), E the mean yearly loss and labour, E_rule of the best rival over all years
/// (the value score of cost and loss, with the best rule in place of climatology). Perfect foresight opens every morning:
/// covers left on, which are worked once, could in principle come above 1.
/// Checked by `replay::the_value_score_keeps_its_bounds`.
/// Equation 53 of docs/science.md.
#[must_use]
pub fn scores(years: &[Year], seed: u64) -> Option<Scores> {
    let cost = |p: usize, places: &[usize]| {
        let sum: f64 = places
            .iter()
            .filter_map(|y| years.get(*y)?.results.get(p))
            .map(SeasonResult::cost)
            .sum();
        sum / places.len() as f64
    };
    let all: Vec<usize> = (0..years.len()).collect();
    let perfect = POLICIES.iter().position(|p| *p == Policy::Perfect)?;
    let rivals = (0..POLICIES.len()).filter(|p| POLICIES[*p].is_rival());
    let best_rival = rivals.min_by(|a, b| cost(*a, &all).total_cmp(&cost(*b, &all)))?;
    if years.is_empty() {
        return None;
    }
    let value = |p: usize, places: &[usize]| {
        let (rule, least) = (cost(best_rival, places), cost(perfect, places));
        (rule - least > 1e-9).then(|| (rule - cost(p, places)) / (rule - least))
    };
    let each = (0..POLICIES.len())
        .map(|p| {
            let (mut costs, mut values) = (Vec::new(), Vec::new());
            resample(years.len(), SCORE_DRAWS, seed, |places| {
                costs.push(cost(p, places));
                values.extend(value(p, places));
            });
            let few = years.len() < 2;
            Score {
                policy: POLICIES[p],
                mean: mean(years, p),
                cost_spread: interval(costs, SCORE_DRAWS).filter(|_| !few),
                value: value(p, &all),
                value_spread: interval(values, SCORE_DRAWS).filter(|_| !few),
            }
        })
        .collect();
    Some(Scores { each, best_rival })
}

fn mean(years: &[Year], policy: usize) -> Mean {
    let n = years.len().max(1) as f64;
    let of = |f: &dyn Fn(&SeasonResult) -> f64| {
        years.iter().filter_map(|y| y.results.get(policy)).map(f).sum::<f64>() / n
    };
    Mean {
        loss: of(&|s| s.loss),
        labour: of(&|s| s.labour),
        evenings: of(&|s| f64::from(s.evenings)),
        minutes: of(&|s| s.minutes),
        light_days: of(&|s| s.light_days),
        heat_h: of(&|s| s.heat_h),
        short_nights: of(&|s| f64::from(s.short_nights)),
    }
}
