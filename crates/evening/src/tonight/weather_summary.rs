//! What the weather behind the plan says and lacks.

use microclimate::black_body::black_body_temperature_c;
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::real::Real;
use microclimate::saturation::saturation_vapour_pressure_kpa;
use microclimate::sky::longwave_w_m2;
use quantities::{Interval, Moment};
use weather::Forecast;

use crate::Settings;
use crate::constants::{CALM_M_S, CLEAR, CLOUDY, WINDY_M_S};
use crate::ensemble::{Ensemble, ForecastSeries};
use crate::report::{Driver, ForecastHour, Spread, TemperatureSeries, WeatherSummary};
use crate::steps::{NightSteps, STEPS_A_HALF_HOUR, at_step};

/// What mostly sets the night, by its mean wind and cloud.
pub fn driver(sky: &ForecastSeries, steps: &NightSteps) -> Driver {
    let mean = |f: &dyn Fn(Moment) -> Option<f64>| {
        let values: Vec<f64> =
            (steps.watched..steps.end).filter_map(|k| f(at_step(steps.start, k))).collect();
        (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
    };
    let (wind, cloud) = (mean(&|m| sky.wind_m_s(m)), mean(&|m| sky.cloud(m)));
    let windy = wind.is_some_and(|w| w >= WINDY_M_S);
    let cloudy = cloud.is_some_and(|c| c >= CLOUDY);
    let calm_clear = wind.is_some_and(|w| w < CALM_M_S) && cloud.is_some_and(|c| c < CLEAR);
    match (windy, cloudy) {
        (true, true) => Driver::WindAndCloud,
        (true, false) => Driver::Wind,
        (false, true) => Driver::Cloud,
        _ if calm_clear => Driver::ClearCalm,
        _ => Driver::Mixed,
    }
}

/// The forecast at one moment.
fn forecast_hour(sky: &ForecastSeries, at: Moment) -> ForecastHour {
    let (air_c, dew_point_c, cloud) = (sky.air_c(at), sky.dew_point_c(at), sky.cloud(at));
    let sky_c = air_c.zip(dew_point_c).zip(cloud).map(|((a, d), c)| sky_c(a, d, c));
    ForecastHour { at, air_c, dew_point_c, wind_m_s: sky.wind_m_s(at), cloud, sky_c }
}

/// Hour by hour between two moments.
fn shown_hours(sky: &ForecastSeries, from: Moment, to: Moment) -> Vec<ForecastHour> {
    let count = (to.0 - from.0).div_euclid(3600).max(0);
    (0..=count).map(|h| forecast_hour(sky, from.plus_seconds(3600 * h))).collect()
}

/// The temperature of a black sky that sends down as much long-wave, (L↓/σ)^¼, °C; L↓ by equations 6 and 7 of docs/science.md.
/// Checked by `tonight::the_sky_of_a_freezing_night`.
fn sky_c(air_c: f64, dew_point_c: f64, cloud: f64) -> f64 {
    let vapour_kpa = saturation_vapour_pressure_kpa(dew_point_c.min(air_c));
    black_body_temperature_c(longwave_w_m2(air_c, vapour_kpa, cloud, 0.0))
}

/// The weather of the night in figures; its hours are shown from sunset on, also where that is past.
pub fn summary(
    forecast: &Forecast,
    sky: &ForecastSeries,
    (steps, sunset): (&NightSteps, Moment),
    ensemble: &Ensemble,
    doubts: Vec<String>,
    settings: Settings,
) -> WeatherSummary {
    let dark = steps.watched..steps.end;
    let moments = || dark.clone().map(|k| at_step(steps.start, k));
    let (mut low, mut low_at) = (f64::INFINITY, steps.start);
    for m in moments() {
        if let Some(t) = sky.air_c(m).filter(|t| *t < low) {
            (low, low_at) = (t, m);
        }
    }
    let mean = |x: Vec<f64>| (!x.is_empty()).then(|| x.iter().sum::<f64>() / x.len() as f64);
    let end = at_step(steps.start, steps.end);
    let tonight = || {
        forecast
            .hours
            .iter()
            .filter(move |h| h.interval.end > steps.start && h.interval.start < end)
    };
    let gust = tonight()
        .filter_map(|h| h.wind_gust_m_s.or(h.wind_speed_m_s))
        .map(|r| r.value)
        .fold(None, |a: Option<f64>, g| Some(a.map_or(g, |a| a.max(g))));
    let snow: Vec<f64> = tonight().filter_map(|h| h.snowfall_m).map(|r| r.value).collect();
    let lows: Vec<f64> = ensemble
        .forcing
        .iter()
        .flat_map(|batch| {
            batch[dark.clone()].iter().fold([f64::INFINITY; WIDTH], |low, f| {
                std::array::from_fn(|i| low[i].min(f.air_c.lane(i)))
            })
        })
        .collect();
    let half_hours: Vec<Vec<f32>> = (steps.watched..=steps.end - STEPS_A_HALF_HOUR)
        .step_by(STEPS_A_HALF_HOUR)
        .map(|k| {
            let all = ensemble.forcing.iter().flat_map(|batch| {
                let of = &batch[k..k + STEPS_A_HALF_HOUR];
                let sum = of.iter().fold(Lanes::splat(0.0), |s, f| s + f.air_c);
                (0..WIDTH).map(move |m| (sum.lane(m) / STEPS_A_HALF_HOUR as f64) as f32)
            });
            all.collect()
        })
        .collect();
    WeatherSummary {
        source: forecast.source.to_owned(),
        issued: forecast.issued,
        night: Interval { start: at_step(steps.start, steps.watched), end },
        forecast_low_c: low,
        forecast_low_at: low_at,
        garden_low_c: Spread::from_sample(&lows),
        air_temperatures: TemperatureSeries::from_members(
            at_step(steps.start, steps.watched),
            &half_hours,
        ),
        hours: shown_hours(sky, at_step(steps.start, steps.watched).min(sunset), end),
        wind_m_s: mean(moments().filter_map(|m| sky.wind_m_s(m)).collect()),
        gust_m_s: gust,
        cloud: mean(moments().filter_map(|m| sky.cloud(m)).collect()),
        driver: driver(sky, steps),
        snow_m: (!snow.is_empty()).then(|| snow.iter().sum()),
        notices: forecast.notices.iter().map(ToString::to_string).collect(),
        doubts,
        members: ensemble.members(),
        seed: settings.seed,
    }
}
