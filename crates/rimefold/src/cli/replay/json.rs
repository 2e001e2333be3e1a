//! The replay as JSON: SI units, one object.

use history::replay::score::Score;
use serde_json::{Value, json};
use weather::frost::Interval;

use super::Replayed;

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

/// The whole answer.
pub fn write(r: &Replayed) -> String {
    let [stood, warm, unknown] = r.counted();
    let beds = &r.garden.beds;
    let value = json!({
        "layout": LAYOUT,
        "garden": r.garden.name,
        "station": r.station,
        "seed": r.seed,
        "best_rival": r.scores.each[r.scores.best_rival].policy.key(),
        "policies": r.scores.each.iter().map(policy).collect::<Vec<_>>(),
        "years": r.years.iter().map(|y| json!({
            "year": y.year,
            "least_cost_without_limits": y.bound,
            "cost": y.results.iter().zip(&r.scores.each)
                .map(|(s, p)| (p.policy.key().to_owned(), json!({"loss": s.loss, "labour": s.labour})))
                .collect::<serde_json::Map<_, _>>(),
        })).collect::<Vec<_>>(),
        "years_left_out": r.left_out,
        "standing": r.seasons.iter().map(|s| json!({
            "bed": beds[s.bed].name, "planting": s.planting,
            "from_day_of_year": s.from_day, "to_day_of_year": s.to_day,
        })).collect::<Vec<_>>(),
        "bed_nights": { "stood": stood, "too_warm": warm, "weather_unknown": unknown },
        "proof": {
            "worst_residual_w_m2": r.stats.residual_w_m2,
            "steps_of_sixteen_years": r.stats.steps,
        },
    });
    format!("{value:#}\n")
}

fn policy(s: &Score) -> Value {
    json!({
        "policy": s.policy.key(),
        "mean_year": {
            "loss": s.mean.loss,
            "labour": s.mean.labour,
            "evenings": s.mean.evenings,
            "minutes": s.mean.minutes,
            "light_days_lost": s.mean.light_days,
            "too_hot_under_cover_h": s.mean.heat_h,
            "nights_short": s.mean.short_nights,
        },
        "cost_5_to_95": s.cost_spread.map(spread),
        "value": s.value,
        "value_5_to_95": s.value_spread.map(spread),
    })
}

fn spread(i: Interval) -> [f64; 2] {
    [i.low, i.high]
}
