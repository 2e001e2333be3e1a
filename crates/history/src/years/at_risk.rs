//! What stands in each bed on each day of a year, hardened as the days before have made it.

use evening::night::PlantingAtRisk;
use garden::crops::{self, hardening};

use crate::years::batch_weather::BatchWeather;
use crate::years::simulation::Simulation;

/// By day of a lane, then by bed: the plantings that cold can harm, each at its hardness.
///
/// A planting begins to stand as hardened as the garden file says and follows the mean air of each day from then on; one that
/// stands through the middle of winter, where a run begins, is by then fully hardened.
/// Checked by `replay::plants_harden_by_the_days_of_their_own_year`.
#[must_use]
pub fn at_risk(
    simulation: &Simulation<'_>,
    weather: &BatchWeather,
    lane: usize,
) -> Vec<Vec<Vec<PlantingAtRisk>>> {
    let mut out = vec![vec![Vec::new(); simulation.beds.len()]; weather.days.len()];
    for (bed, choices) in simulation.beds.iter().enumerate() {
        for at_risk in &choices.at_risk {
            let Some(p) = simulation.garden.beds[bed].plantings.get(at_risk.planting) else {
                continue;
            };
            let speed = crops::hardening_speed(p.crop, p.stage);
            let mut hardness: Option<f64> = None;
            for (d, day) in weather.days.iter().enumerate() {
                if !simulation.stands_on(bed, at_risk.planting, day.index) {
                    hardness = None;
                    continue;
                }
                let wintered = d == 0 && speed.is_some();
                let begins = if wintered { 1.0 } else { crops::hardness(p.hardened) };
                let before = hardness.unwrap_or(begins);
                let mean_c = f64::from(day.mean_c[lane]);
                let now = speed.map_or(before, |s| hardening::after_day(before, mean_c, s));
                hardness = Some(now);
                out[d][bed].extend(PlantingAtRisk::at(at_risk.planting, p, now));
            }
        }
    }
    out
}
