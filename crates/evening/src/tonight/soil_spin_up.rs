//! The days before tonight, which bring the soil to its temperature.

use microclimate::Forcing;
use microclimate::lanes::Lanes;
use microclimate::parameters::STEP_S;
use quantities::{Moment, UnitSystem, WeatherHour};

use crate::constants::{MEMORY_DAYS, SOIL_SIGMA_GUESSED_K, SOIL_SIGMA_KNOWN_K, SPIN_UP_DAYS};
use crate::ensemble::{Ensemble, ForecastSeries};
use crate::harm::Memory;

/// Whole days before, as far as they are known.
fn days_known(all: &[WeatherHour], asked_at: Moment) -> i64 {
    let known = all.first().map_or(0.0, |h| asked_at.hours_since(h.interval.start));
    (known / 24.0).floor().max(0.0) as i64
}

/// What the days before did to plants, as far as they are known.
pub fn memory(sky: &ForecastSeries, all: &[WeatherHour], asked_at: Moment) -> Memory {
    let seconds = 86_400 * days_known(all, asked_at).min(MEMORY_DAYS);
    let steps = seconds as usize / STEP_S as usize;
    Memory::from_days(&Ensemble::plain(sky, asked_at.plus_seconds(-seconds), steps))
}

/// Weather of the ten days before, where known; else the first day of the forecast over and over, and more doubt.
pub fn days_before(
    sky: &ForecastSeries,
    all: &[WeatherHour],
    asked_at: Moment,
    units: UnitSystem,
    doubts: &mut Vec<String>,
) -> (Vec<Forcing<Lanes>>, f64) {
    let day = 86_400;
    let whole_days = days_known(all, asked_at).min(SPIN_UP_DAYS);
    if whole_days > 0 {
        if whole_days < SPIN_UP_DAYS {
            doubts.push(format!("Only {whole_days} days before tonight are known; the soil's warmth and how hardened plants are is less certain."));
        }
        let steps = (day * whole_days) as usize / STEP_S as usize;
        let share = whole_days as f64 / SPIN_UP_DAYS as f64;
        let sigma = SOIL_SIGMA_GUESSED_K + (SOIL_SIGMA_KNOWN_K - SOIL_SIGMA_GUESSED_K) * share;
        return (Ensemble::plain(sky, asked_at.plus_seconds(-day * whole_days), steps), sigma);
    }
    let doubt = if units == UnitSystem::Us { "4 °F" } else { "2 °C" };
    doubts.push(format!(
        "The days before tonight are not known: the soil is taken as after days like the first of the forecast, give or take {doubt}, and plants as hardened as the garden file says."
    ));
    let one = Ensemble::plain(sky, asked_at, day as usize / STEP_S as usize);
    let days: Vec<Forcing<Lanes>> = (0..5).flat_map(|_| one.iter().copied()).collect();
    (days, SOIL_SIGMA_GUESSED_K)
}
