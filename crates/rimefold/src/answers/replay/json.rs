//! The replay as JSON: SI units, one object.

use std::collections::BTreeMap;

use history::replay::score::{self, Score};
use history::replay::{SeasonResult, Year as Run};
use serde::Serialize;
use weather::frost::Interval;

use super::Replayed;

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 2;

/// The answer of `rimefold replay --json`.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Replay {
    /// Version of the layout.
    layout: u32,
    garden: String,
    station: Option<String>,
    /// Seed of what was drawn.
    seed: u64,
    /// Draws of the errors that are averaged: this seed and the next ones.
    draws: usize,
    /// Key of the best rule of thumb that goes by the same forecast.
    best_rule: &'static str,
    /// Key of the best of never, always and left on.
    best_fixed: &'static str,
    /// Less than this no policy could have cost: all known, sheets and minutes enough, covers free to lie on by day.
    perfect_foresight_bound: f64,
    policies: Vec<Policy>,
    years: Vec<Year>,
    /// Years asked for that lack too many days.
    years_left_out: usize,
    standing: Vec<Standing>,
    bed_nights: BedNights,
    proof: Proof,
}

/// One way to decide.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Policy {
    policy: &'static str,
    mean_year: MeanYear,
    /// Loss, labour and light together, in other such years.
    cost_5_to_95: Option<[f64; 2]>,
    /// 0: the best rule of thumb with the same forecast; 1: the bound of perfect foresight.
    value_over_best_rule: Option<Value>,
    /// 0: the best of never, always and left on; 1: the bound of perfect foresight.
    value_over_best_fixed: Option<Value>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Value {
    value: f64,
    /// In other such years.
    years_5_to_95: Option<[f64; 2]>,
    /// Least and greatest of the draws.
    draws_least_to_greatest: Option<[f64; 2]>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct MeanYear {
    /// In the garden's money.
    loss: f64,
    labour: f64,
    /// Of light kept back by covers.
    light: f64,
    evenings: f64,
    minutes: f64,
    /// Summed over beds.
    light_days_lost: f64,
    too_hot_under_cover_h: f64,
    /// Nights short of sheets, pins or minutes.
    nights_short: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Year {
    year: i16,
    /// The bound of perfect foresight, mean of the draws.
    perfect_foresight_bound: f64,
    /// By policy, mean of the draws.
    cost: BTreeMap<&'static str, Cost>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Cost {
    loss: f64,
    labour: f64,
    light: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Standing {
    bed: String,
    /// Place among the bed's plantings, from 0.
    planting: usize,
    from_day_of_year: u16,
    to_day_of_year: u16,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct BedNights {
    stood: u64,
    too_warm: u64,
    weather_unknown: u64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Proof {
    worst_residual_w_m2: f64,
    steps_of_sixteen_years: usize,
}

/// The whole answer.
pub fn layout(r: &Replayed) -> Replay {
    let [stood, too_warm, weather_unknown] = r.counted();
    let standing = r.seasons.iter().map(|s| Standing {
        bed: r.garden.beds[s.bed].name.clone(),
        planting: s.planting,
        from_day_of_year: s.from_day,
        to_day_of_year: s.to_day,
    });
    Replay {
        layout: LAYOUT,
        garden: r.garden.name.clone(),
        station: r.station.clone(),
        seed: r.seed,
        draws: r.years.first().map_or(0, |y| y.draws.len()),
        best_rule: r.scores.each[r.scores.best_rule].policy.key(),
        best_fixed: r.scores.each[r.scores.best_fixed].policy.key(),
        perfect_foresight_bound: r.scores.bound,
        policies: r.scores.each.iter().map(policy).collect(),
        years: r.years.iter().map(|y| year(y, &r.scores.each)).collect(),
        years_left_out: r.left_out,
        standing: standing.collect(),
        bed_nights: BedNights { stood, too_warm, weather_unknown },
        proof: Proof {
            worst_residual_w_m2: r.stats.residual_w_m2,
            steps_of_sixteen_years: r.stats.steps,
        },
    }
}

fn policy(s: &Score) -> Policy {
    Policy {
        policy: s.policy.key(),
        mean_year: MeanYear {
            loss: s.mean.loss,
            labour: s.mean.labour,
            light: s.mean.dimness,
            evenings: s.mean.evenings,
            minutes: s.mean.minutes,
            light_days_lost: s.mean.light_days,
            too_hot_under_cover_h: s.mean.heat_h,
            nights_short: s.mean.short_nights,
        },
        cost_5_to_95: s.cost_spread.map(edges),
        value_over_best_rule: s.over_rule.map(value),
        value_over_best_fixed: s.over_fixed.map(value),
    }
}

fn value(v: score::Value) -> Value {
    Value {
        value: v.value,
        years_5_to_95: v.over_years.map(edges),
        draws_least_to_greatest: v.over_draws.map(edges),
    }
}

fn year(y: &Run, each: &[Score]) -> Year {
    let cost = |(p, score): (usize, &Score)| {
        let mean = |of: &dyn Fn(&SeasonResult) -> f64| y.mean(|d| d.results.get(p).map_or(0.0, of));
        let cost = Cost {
            loss: mean(&|s| s.loss),
            labour: mean(&|s| s.labour),
            light: mean(&|s| s.dimness),
        };
        (score.policy.key(), cost)
    };
    Year {
        year: y.year,
        perfect_foresight_bound: y.mean(|d| d.bound),
        cost: each.iter().enumerate().map(cost).collect(),
    }
}

fn edges(i: Interval) -> [f64; 2] {
    [i.low, i.high]
}
