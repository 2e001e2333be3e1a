//! The nights that the forecast reaches, each with its possible courses.

use garden::Garden;
use microclimate::Forcing;
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::real::Real;
use quantities::{Moment, WeatherHour};
use weather::Forecast;
use weather::error_model::sigma_air_k;

use crate::ensemble::{Ensemble, ForecastSeries};
use crate::learned::Learned;
use crate::report::Spread;
use crate::steps::{NightSteps, at_step, steps_between};
use crate::tonight::coming_night::ComingNight;
use crate::tonight::night_times::{self, NextNight};
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

/// The nights from the coming one on as far as the forecast reaches, with what is known of the garden beyond it.
///
/// What was read this evening is of the coming night alone.
#[must_use]
pub fn nights(
    garden: &Garden,
    forecast: &Forecast,
    coming: ComingNight,
    asked_at: Moment,
    settings: Settings,
    learned: &Learned<'_>,
) -> Weather {
    let ComingNight { hours, sun, steps, before, soil_sigma_k, doubts, .. } = coming;
    let later = Learned { evening: &[], ..*learned };
    let drawing = Drawing { garden, forecast, hours: &hours, asked_at };
    let first = (settings.first_nights, settings.seed);
    let mut next = Some((NextNight { sunset: sun.sunset, sunrise: sun.sunrise, steps }, first));
    let mut all: Vec<Night> = Vec::new();
    while let Some((times, draw)) = next.filter(|_| all.len() < MOST_NIGHTS) {
        let known = if all.is_empty() { learned } else { &later };
        all.push(drawing.night(times, draw, known));
        let seed = settings.seed.wrapping_add(all.len() as u64);
        let draw = (settings.later_nights, seed);
        next = night_times::next(garden, forecast, times.sunset).map(|n| (n, draw));
    }
    let last = all.last().map_or(asked_at, |n: &Night| n.ahead.sunset);
    let line = ForecastSeries::new(&hours, garden.place);
    let start = all.first().map_or(asked_at, |n| n.steps.start);
    let plain = Ensemble::plain(&line, start, steps_between(start, last));
    Weather { nights: all, plain, before, soil_sigma_k, doubts }
}

/// What every night is drawn from.
struct Drawing<'a> {
    garden: &'a Garden,
    forecast: &'a Forecast,
    hours: &'a [WeatherHour],
    asked_at: Moment,
}

impl Drawing<'_> {
    fn night(
        &self,
        NextNight { sunset, sunrise, steps }: NextNight,
        (members, seed): (usize, u64),
        learned: &Learned<'_>,
    ) -> Night {
        let Self { garden, forecast, hours, asked_at } = *self;
        let end = at_step(steps.start, steps.end);
        let sky = ForecastSeries::for_night(hours, garden.place, steps.start, end);
        let ensemble = Ensemble::draw_knowing(
            &sky,
            forecast,
            &garden.site,
            (steps.start, steps.end),
            (members.clamp(WIDTH, 4000), seed),
            learned,
        );
        let lows: Vec<f64> = ensemble
            .forcing
            .iter()
            .flat_map(|batch| {
                let low = |i: usize| {
                    batch[steps.cover..]
                        .iter()
                        .map(|f| f.air_c.lane(i))
                        .fold(f64::INFINITY, f64::min)
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
        // What the garden's nights have taught widens or narrows every lead alike.
        let sigma_k = |lead: f64| ensemble.error_scale() * sigma_air_k(lead);
        let error = NightError::new(&lows, sigma_k(lead), sigma_k(then.min(lead)));
        let garden_low_c = Spread::from_sample(&lows);
        let ahead = NightAhead { sunset, sunrise, forecast_low_c: low_c, garden_low_c };
        Night { ahead, steps, ensemble, error }
    }
}
