//! The weather behind a plan, and what else in it is a course or a moment, as JSON.

use evening::report::{self, Driver as Drives, TemperatureSeries as Computed};
use jiff::Timestamp;
use quantities::Moment;
use serde::Serialize;

use crate::answers::json_parts::{Spread, spread};

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Weather {
    /// Name of the format the forecast came in.
    source: String,
    issued: Option<String>,
    forecast_low_c: f64,
    forecast_low_at: String,
    garden_low_c: Spread,
    air_course: Course,
    /// Null where the forecast is silent.
    wind_m_s: Option<f64>,
    gust_m_s: Option<f64>,
    /// 0 to 1.
    cloud: Option<f64>,
    driver: Driver,
    snow_m: Option<f64>,
    /// What was missing, derived or odd in the forecast.
    notices: Vec<String>,
    /// What makes the chances wider than usual.
    doubts: Vec<String>,
    /// Possible nights computed.
    nights: usize,
    seed: u64,
}

/// What mostly sets the night.
#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub enum Driver {
    ClearCalm,
    Wind,
    Cloud,
    WindAndCloud,
    Mixed,
}

/// A temperature through the night.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Course {
    /// Start of the first half-hour.
    start: String,
    half_hours_c: Vec<Spread>,
}

/// The weather behind a plan.
pub fn weather(w: &report::WeatherSummary) -> Weather {
    Weather {
        source: w.source.clone(),
        issued: w.issued.map(time),
        forecast_low_c: w.forecast_low_c,
        forecast_low_at: time(w.forecast_low_at),
        garden_low_c: spread(&w.garden_low_c),
        air_course: course(&w.air_temperatures),
        wind_m_s: w.wind_m_s,
        gust_m_s: w.gust_m_s,
        cloud: w.cloud,
        driver: driver(w.driver),
        snow_m: w.snow_m,
        notices: w.notices.clone(),
        doubts: w.doubts.clone(),
        nights: w.members,
        seed: w.seed,
    }
}

/// What mostly sets the night.
pub fn driver(d: Drives) -> Driver {
    match d {
        Drives::ClearCalm => Driver::ClearCalm,
        Drives::Wind => Driver::Wind,
        Drives::Cloud => Driver::Cloud,
        Drives::WindAndCloud => Driver::WindAndCloud,
        Drives::Mixed => Driver::Mixed,
    }
}

/// A temperature through the night.
pub fn course(c: &Computed) -> Course {
    Course { start: time(c.start), half_hours_c: c.half_hours.iter().map(spread).collect() }
}

/// A moment as RFC 3339.
pub fn time(m: Moment) -> String {
    Timestamp::from_second(m.0).unwrap_or_default().to_string()
}
