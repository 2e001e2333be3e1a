//! The night that is coming, or running, before any bed: its times, its weather, and the days before it.

use garden::bed::Bed;
use garden::garden::Garden;
use garden::lying::GardenState;
use microclimate::Forcing;
use microclimate::lanes::Lanes;
use quantities::{Moment, WeatherHour};
use weather::Forecast;

use crate::constants::LONGEST_GAP_H;
use crate::ensemble::ForecastSeries;
use crate::error::Error;
use crate::harm::Memory;
use crate::night::BedSimulation;
use crate::report::SunTimes;
use crate::steps::{NightSteps, at_step};
use crate::tonight::{night_times, soil_spin_up};

/// What all beds share of the night.
pub struct ComingNight {
    /// The hours before the forecast, where they are known, and the forecast.
    pub hours: Vec<WeatherHour>,
    /// Sunset, dark and sunrise.
    pub sun: SunTimes,
    /// Its steps.
    pub steps: NightSteps,
    /// The weather from its first step on.
    pub sky: ForecastSeries,
    /// The days before its first step.
    pub before: Vec<Forcing<Lanes>>,
    /// What they did to plants, where they are known.
    pub memory: Memory,
    /// Doubt about the soil's warmth, K.
    pub soil_sigma_k: f64,
    /// What widens the chances, in sentences.
    pub doubts: Vec<String>,
}

impl ComingNight {
    /// The beds as they lie, their plants as the days before have left them.
    #[must_use]
    pub fn beds<'a>(
        &self,
        garden: &'a Garden,
        state: &GardenState,
        wind_height_m: f64,
    ) -> Vec<BedSimulation<'a>> {
        let bed = |(b, bed): (usize, &'a Bed)| {
            let lies = state.beds.get(b).map_or(&[][..], Vec::as_slice);
            BedSimulation::new(garden, bed, lies, wind_height_m).after(&self.memory)
        };
        garden.beds.iter().enumerate().map(bed).collect()
    }
}

/// The coming or running night of a garden, seen from `asked_at`.
///
/// # Errors
/// [`Error::NoNight`], [`Error::ForecastTooShort`], [`Error::TemperatureGap`].
pub fn coming_night(
    garden: &Garden,
    forecast: &Forecast,
    past: Option<&Forecast>,
    asked_at: Moment,
) -> Result<ComingNight, Error> {
    let all_hours = past_and_forecast(forecast, past, asked_at);
    let known = all_hours.first().map_or(asked_at, |h| h.interval.start);
    let (sun, steps) = night_times::times(garden, known, asked_at)?;
    night_times::reaches(forecast, asked_at, &steps)?;
    let end = at_step(steps.start, steps.end);
    let sky = ForecastSeries::for_night(&all_hours, garden.place, steps.start, end);
    let hours = sky.air().longest_gap_h(steps.start, end);
    if hours > LONGEST_GAP_H {
        return Err(Error::TemperatureGap { hours });
    }
    let mut doubts = sky.notices();
    if steps.watched == 0 && steps.start.0 - sun.sunset.0 > 3600 {
        doubts.push(
            "The first hours of this night are not known: harm done in them is not counted.".into(),
        );
    }
    let before = ForecastSeries::new(&all_hours, garden.place);
    let memory = soil_spin_up::memory(&before, &all_hours, steps.start);
    let (before, soil_sigma_k) =
        soil_spin_up::days_before(&before, &all_hours, steps.start, garden.units, &mut doubts);
    Ok(ComingNight { hours: all_hours, sun, steps, sky, before, memory, soil_sigma_k, doubts })
}

fn past_and_forecast(
    forecast: &Forecast,
    past: Option<&Forecast>,
    asked_at: Moment,
) -> Vec<WeatherHour> {
    let first = forecast.hours.first().map_or(asked_at, |h| h.interval.start);
    let mut hours = past.map(|p| p.hours.clone()).unwrap_or_default();
    hours.retain(|h| h.interval.end <= first);
    hours.extend_from_slice(&forecast.hours);
    hours
}
