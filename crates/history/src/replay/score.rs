//! What the policies came to over the years, and how sure that is.

use weather::frost::Interval;
use weather::frost::bootstrap::{interval, resample};

use crate::constants::SCORE_DRAWS;
use crate::replay::outcome::{DrawnYear, SeasonResult, Year};
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
    /// 0 for the best rule of thumb that goes by the same forecast; `None` where that is perfect.
    pub over_rule: Option<Value>,
    /// 0 for the best of never, always and left on, which ask for no forecast; `None` where that is perfect.
    pub over_fixed: Option<Value>,
}

/// How far of the way from a rival (0) to perfect foresight (1); below 0 for what is worse than the rival.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Value {
    /// Over all years and draws.
    pub value: f64,
    /// Middle nine tenths, had other such years been drawn; `None` for one year.
    pub over_years: Option<Interval>,
    /// Least and greatest of the draws of the errors, all years each; `None` for one draw.
    pub over_draws: Option<Interval>,
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
    /// Money of the light kept back.
    pub dimness: f64,
    /// Person-minutes.
    pub minutes: f64,
    /// Whole days of light, summed over beds.
    pub light_days: f64,
    /// Hours too hot under left-on covers, summed over beds.
    pub heat_h: f64,
    /// Nights with a cover short.
    pub short_nights: f64,
}

/// Every policy, and the places of the rivals among them.
#[derive(Clone, Debug, PartialEq)]
pub struct Scores {
    /// In the order of [`POLICIES`].
    pub each: Vec<Score>,
    /// The rule of thumb of least mean cost.
    pub best_rule: usize,
    /// The best of never, always and left on.
    pub best_fixed: usize,
    /// Less than this a mean year cannot cost.
    pub bound: f64,
}

/// Scores the years; `None` without years or draws.
///
/// V = (E₀ − E)/(E₀ − E₁), E the mean yearly cost over years and draws; E₀ of the rival that is best over all of them;
/// E₁ of perfect foresight: the bound of each year, so that V ≤ 1.
/// Source: the value score of cost and loss, nearer to it with the best of never, always and left on as E₀
/// (Katz, Murphy & Winkler 1982 take the best policy on climatology; from memory).
/// Checked by `replay::the_value_score_keeps_its_bounds`.
/// Equation 53 of docs/science.md.
#[must_use]
pub fn scores(years: &[Year], seed: u64) -> Option<Scores> {
    let draws = years.iter().map(|y| y.draws.len()).min().filter(|n| *n > 0)?;
    let costs = Costs::of(years);
    let all: Vec<usize> = (0..years.len()).collect();
    let best = |of: &dyn Fn(&Policy) -> bool| {
        let rivals = (0..POLICIES.len()).filter(|p| of(&POLICIES[*p]));
        rivals.min_by(|a, b| costs.mean(*a, &all).total_cmp(&costs.mean(*b, &all)))
    };
    let (best_rule, best_fixed) = (best(&Policy::is_rule)?, best(&Policy::is_fixed)?);
    let value = |p: usize, rival: usize| {
        let at = |places: &[usize]| {
            let (zero, one) = (costs.mean(rival, places), costs.mean(BOUND, places));
            (zero - one > 1e-9).then(|| (zero - costs.mean(p, places)) / (zero - one))
        };
        let mut values = Vec::new();
        resample(years.len(), SCORE_DRAWS, seed, |places| values.extend(at(places)));
        let by_draw: Vec<f64> = (0..draws)
            .filter_map(|d| {
                let (zero, one) = (costs.of_draw(rival, d), costs.of_draw(BOUND, d));
                (zero - one > 1e-9).then(|| (zero - costs.of_draw(p, d)) / (zero - one))
            })
            .collect();
        let edge = |f: fn(f64, f64) -> f64, from: f64| by_draw.iter().copied().fold(from, f);
        at(&all).map(|value| Value {
            value,
            over_years: interval(values, SCORE_DRAWS).filter(|_| years.len() > 1),
            over_draws: (by_draw.len() > 1).then(|| Interval {
                low: edge(f64::min, f64::INFINITY),
                high: edge(f64::max, f64::NEG_INFINITY),
            }),
        })
    };
    let each = (0..POLICIES.len())
        .map(|p| {
            let mut spread = Vec::new();
            resample(years.len(), SCORE_DRAWS, seed, |places| spread.push(costs.mean(p, places)));
            Score {
                policy: POLICIES[p],
                mean: mean(years, p),
                cost_spread: interval(spread, SCORE_DRAWS).filter(|_| years.len() > 1),
                over_rule: value(p, best_rule),
                over_fixed: value(p, best_fixed),
            }
        })
        .collect();
    Some(Scores { each, best_rule, best_fixed, bound: costs.mean(BOUND, &all) })
}

/// Place of the bound after the policies.
const BOUND: usize = POLICIES.len();

/// Cost by policy, the bound last, by year and draw.
struct Costs(Vec<Vec<Vec<f64>>>);

impl Costs {
    fn of(years: &[Year]) -> Self {
        let cost = |p: usize, d: &DrawnYear| d.results.get(p).map_or(d.bound, SeasonResult::cost);
        let by_year = |p: usize| -> Vec<Vec<f64>> {
            years.iter().map(|y| y.draws.iter().map(|d| cost(p, d)).collect()).collect()
        };
        Self((0..=BOUND).map(by_year).collect())
    }

    /// Mean over these years and all draws.
    fn mean(&self, p: usize, places: &[usize]) -> f64 {
        let year = |y: &usize| {
            let draws = &self.0[p][*y];
            draws.iter().sum::<f64>() / draws.len().max(1) as f64
        };
        places.iter().map(year).sum::<f64>() / places.len().max(1) as f64
    }

    /// Mean over the years of one draw.
    fn of_draw(&self, p: usize, draw: usize) -> f64 {
        let years = &self.0[p];
        years.iter().map(|y| y[draw]).sum::<f64>() / years.len().max(1) as f64
    }
}

fn mean(years: &[Year], policy: usize) -> Mean {
    let n = years.len().max(1) as f64;
    let of = |f: &dyn Fn(&SeasonResult) -> f64| {
        let year = |y: &Year| y.mean(|d| d.results.get(policy).map_or(0.0, f));
        years.iter().map(year).sum::<f64>() / n
    };
    Mean {
        loss: of(&|s| s.loss),
        labour: of(&|s| s.labour),
        dimness: of(&|s| s.dimness),
        evenings: of(&|s| f64::from(s.evenings)),
        minutes: of(&|s| s.minutes),
        light_days: of(&|s| s.light_days),
        heat_h: of(&|s| s.heat_h),
        short_nights: of(&|s| f64::from(s.short_nights)),
    }
}
