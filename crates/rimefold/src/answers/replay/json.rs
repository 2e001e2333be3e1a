//! The replay as JSON: SI units, one object.

use std::collections::BTreeMap;

use history::replay::Year as Run;
use history::replay::score::Score;
use serde::Serialize;
use weather::frost::Interval;

use super::Replayed;

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

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
    /// Key of the best of the fixed rules.
    best_rival: &'static str,
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
    /// Loss and labour together, in other such years.
    cost_5_to_95: Option<[f64; 2]>,
    /// 0: the best fixed rule; 1: perfect foresight.
    value: Option<f64>,
    value_5_to_95: Option<[f64; 2]>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct MeanYear {
    /// In the garden's money.
    loss: f64,
    labour: f64,
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
    /// Perfect foresight without limits of stock and minutes.
    least_cost_without_limits: f64,
    /// By policy.
    cost: BTreeMap<&'static str, Cost>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Cost {
    loss: f64,
    labour: f64,
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
        best_rival: r.scores.each[r.scores.best_rival].policy.key(),
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
            evenings: s.mean.evenings,
            minutes: s.mean.minutes,
            light_days_lost: s.mean.light_days,
            too_hot_under_cover_h: s.mean.heat_h,
            nights_short: s.mean.short_nights,
        },
        cost_5_to_95: s.cost_spread.map(edges),
        value: s.value,
        value_5_to_95: s.value_spread.map(edges),
    }
}

fn year(y: &Run, each: &[Score]) -> Year {
    let cost = y.results.iter().zip(each);
    Year {
        year: y.year,
        least_cost_without_limits: y.bound,
        cost: cost
            .map(|(s, p)| (p.policy.key(), Cost { loss: s.loss, labour: s.labour }))
            .collect(),
    }
}

fn edges(i: Interval) -> [f64; 2] {
    [i.low, i.high]
}
