//! The nights that the forecast reaches, each with its possible courses.

use garden::Garden;
use microclimate::Forcing;
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::real::Real;
use quantities::{Moment, WeatherHour};
use weather::Forecast;
use weather::error_model::sigma_air_k;

use crate::constants::{LONGEST_GAP_H, NIGHT_ENDS_AFTER_SUNRISE_S};
use crate::ensemble::{Ensemble, ForecastSeries};
use crate::error::Error;
use crate::harm::Memory;
use crate::report::Spread;
use crate::steps::{NightSteps, at_step, steps_between};
use crate::tonight::coming_night::{ComingNight, coming_night};
use crate::tonight::night_times;
use crate::week::Settings;
use crate::week::courses::NightError;
use crate::week::report::NightAhead;

/// Nights planned at most.
const MOST_NIGHTS: usize = 7;

/// One night and its possible courses.
pub struct Night {
    /// When it is, and its lows.
    pub ahead: NightAhead,
    /// Steps from the ensemble's start.
    pub steps: NightSteps,
    /// The possible nights.
    pub ensemble: Ensemble,
    /// How its low errs.
    pub error: NightError,
}

/// The weather behind a plan.
pub struct Weather {
    /// The nights, the coming one first.
    pub nights: Vec<Night>,
    /// The forecast itself from the first step of the coming night on.
    pub plain: Vec<Forcing<Lanes>>,
    /// The days before.
    pub before: Vec<Forcing<Lanes>>,
    /// What they did to plants.
    pub memory: Memory,
    /// Doubt about the soil's warmth, K.
    pub soil_sigma_k: f64,
    /// What widens the chances.
    pub doubts: Vec<String>,
}

impl Weather {
    /// The first step of the coming night.
    #[must_use]
    pub fn start(&self) -> Moment {
        self.nights.first().map_or(Moment(0), |n| n.steps.start)
    }
}

/// The nights from `asked_at` as far as the forecast reaches.
///
/// # Errors
/// As [`crate::tonight()`] for the coming night; later ones that are not covered whole end the list.
pub fn nights(
    garden: &Garden,
    forecast: &Forecast,
    past: Option<&Forecast>,
    asked_at: Moment,
    settings: Settings,
) -> Result<Weather, Error> {
    let ComingNight {
        hours: all_hours,
        sun: first,
        steps,
        before,
        memory,
        soil_sigma_k,
        doubts,
        ..
    } = coming_night(garden, forecast, past, asked_at)?;
    let reached = forecast.hours.last().map_or(asked_at, |h| h.interval.end);
    let mut all = Vec::new();
    let (mut sun_times, mut steps) = ((first.sunset, first.sunrise), steps);
    loop {
        let members = if all.is_empty() { settings.first_nights } else { settings.later_nights };
        let seed = settings.seed.wrapping_add(all.len() as u64);
        all.push(night(
            garden,
            (forecast, &all_hours),
            asked_at,
            sun_times,
            steps,
            (members, seed),
        ));
        if all.len() == MOST_NIGHTS {
            break;
        }
        let Some(next) = night_times::after(&garden.place, sun_times.0) else { break };
        let end = next.1.plus_seconds(NIGHT_ENDS_AFTER_SUNRISE_S);
        let sky = ForecastSeries::new(&forecast.hours, garden.place);
        // An hour less than the night's end will do, as it does tonight.
        let covered = end.plus_seconds(-3600) <= reached
            && sky.air().longest_gap_h(sun_times.0, end.min(reached)) <= LONGEST_GAP_H;
        if !covered {
            break;
        }
        sun_times = next;
        steps = NightSteps { start: next.0, watched: 0, cover: 0, end: steps_between(next.0, end) };
    }
    let last = all.last().map_or(asked_at, |n: &Night| n.ahead.sunset);
    let line = ForecastSeries::new(&all_hours, garden.place);
    let start = all.first().map_or(asked_at, |n| n.steps.start);
    let plain = Ensemble::plain(&line, start, steps_between(start, last));
    Ok(Weather { nights: all, plain, before, memory, soil_sigma_k, doubts })
}

fn night(
    garden: &Garden,
    (forecast, hours): (&Forecast, &[WeatherHour]),
    asked_at: Moment,
    (sunset, sunrise): (Moment, Moment),
    steps: NightSteps,
    (members, seed): (usize, u64),
) -> Night {
    let end = at_step(steps.start, steps.end);
    let sky = ForecastSeries::for_night(hours, garden.place, steps.start, end);
    let members = members.clamp(WIDTH, 4000);
    let ensemble =
        Ensemble::draw(&sky, forecast, &garden.site, steps.start, steps.end, members, seed);
    let lows: Vec<f64> = ensemble
        .forcing
        .iter()
        .flat_map(|batch| {
            let low = |i: usize| {
                batch[steps.cover..].iter().map(|f| f.air_c.lane(i)).fold(f64::INFINITY, f64::min)
            };
            (0..WIDTH).map(low).collect::<Vec<_>>()
        })
        .collect();
    let (mut low_c, mut low_at) = (f64::INFINITY, steps.start);
    for k in steps.cover..steps.end {
        let at = at_step(steps.start, k);
        if let Some(t) = sky.air_c(at).filter(|t| *t < low_c) {
            (low_c, low_at) = (t, at);
        }
    }
    let issued = forecast.issued.unwrap_or(asked_at).min(asked_at);
    let lead = low_at.hours_since(issued);
    // In its own evening a night is as far off as this one's low is from this forecast, if that is less.
    let then = low_at.hours_since(sunset);
    let error = NightError::new(&lows, sigma_air_k(lead), sigma_air_k(then.min(lead)));
    let garden_low_c = Spread::from_sample(&lows);
    let ahead = NightAhead { sunset, sunrise, forecast_low_c: low_c, garden_low_c };
    Night { ahead, steps, ensemble, error }
}
