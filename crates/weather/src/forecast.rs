//! A forecast in hours, and what it lacks.

use std::fmt::Write as _;

use quantities::{Moment, Place, WeatherHour};

/// Weather hour by hour.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    /// Name of the format it came in.
    pub source: &'static str,
    /// When it was issued, if it says so.
    pub issued: Option<Moment>,
    /// Where it is for, if it says so.
    pub place: Option<Place>,
    /// Height of its wind, m.
    pub wind_height_m: f64,
    /// Consecutive hours in UTC; what is missing in an hour is `None`.
    pub hours: Vec<WeatherHour>,
    /// What was missing, derived or odd, in whole sentences.
    pub notices: Vec<Notice>,
}

/// One thing the reader should tell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice(pub String);

impl std::fmt::Display for Notice {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

/// The forecast in the documented hourly CSV; what is missing stays empty.
#[must_use]
pub fn to_csv(forecast: &Forecast) -> String {
    let mut out = String::from(
        "time,air_temperature_c,dew_point_c,relative_humidity_pct,wind_speed_m_s,wind_gust_m_s,\
         cloud_pct,shortwave_w_m2,precipitation_mm,snowfall_cm\n",
    );
    for hour in &forecast.hours {
        let start = jiff::Timestamp::from_second(hour.interval.start.0).unwrap_or_default();
        out.push_str(&start.to_string());
        for (reading, scale) in [
            (hour.air_temperature_c, 1.0),
            (hour.dew_point_c, 1.0),
            (hour.relative_humidity, 100.0),
            (hour.wind_speed_m_s, 1.0),
            (hour.wind_gust_m_s, 1.0),
            (hour.cloud_fraction, 100.0),
            (hour.shortwave_w_m2, 1.0),
            (hour.precipitation_mm, 1.0),
            (hour.snowfall_m, 100.0),
        ] {
            out.push(',');
            if let Some(r) = reading {
                let _ = write!(out, "{:.4}", r.value * scale);
            }
        }
        out.push('\n');
    }
    out
}
