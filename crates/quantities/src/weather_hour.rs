//! One hour of weather: every quantity optional, with what it means and where it came from.

use crate::time::Interval;

/// What a number says about its hour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Meaning {
    /// The value at the start of the interval.
    AtStart,
    /// The mean over the interval.
    Mean,
    /// The total over the interval.
    Sum,
    /// The greatest value in the interval.
    Maximum,
}

/// Where a number came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Written in the source for this very hour.
    Given,
    /// Between two given values, or a longer interval's value shared over its hours.
    Interpolated,
    /// Computed from other given quantities (dew point from humidity, cloud from a weather code …).
    Derived,
}

/// A number with its meaning and origin. The unit is in the field's name.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// The number.
    pub value: f64,
    /// What it says about its hour.
    pub meaning: Meaning,
    /// Where it came from.
    pub origin: Origin,
}

impl Reading {
    /// A reading written in the source.
    #[must_use]
    pub fn given(value: f64, meaning: Meaning) -> Self {
        Self { value, meaning, origin: Origin::Given }
    }
}

/// One hour of weather. What the source did not say is `None`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeatherHour {
    /// The hour, `[start, end)`, in UTC.
    pub interval: Interval,
    /// Air temperature at screen height (1.5 to 2 m), °C.
    pub air_temperature_c: Option<Reading>,
    /// Dew point over water, °C.
    pub dew_point_c: Option<Reading>,
    /// Relative humidity over water, 0 to 1.
    pub relative_humidity: Option<Reading>,
    /// Wind speed at the height the source states, m/s.
    pub wind_speed_m_s: Option<Reading>,
    /// Gust at the same height, m/s.
    pub wind_gust_m_s: Option<Reading>,
    /// Share of the sky covered by cloud, 0 to 1.
    pub cloud_fraction: Option<Reading>,
    /// Global solar radiation on the level, W/m².
    pub shortwave_w_m2: Option<Reading>,
    /// Rain and melted snow, mm in the hour.
    pub precipitation_mm: Option<Reading>,
    /// Depth of new snow, m in the hour.
    pub snowfall_m: Option<Reading>,
}

impl WeatherHour {
    /// An hour of which nothing is known.
    #[must_use]
    pub fn unknown(interval: Interval) -> Self {
        Self {
            interval,
            air_temperature_c: None,
            dew_point_c: None,
            relative_humidity: None,
            wind_speed_m_s: None,
            wind_gust_m_s: None,
            cloud_fraction: None,
            shortwave_w_m2: None,
            precipitation_mm: None,
            snowfall_m: None,
        }
    }
}
