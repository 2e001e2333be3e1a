//! The least and greatest value of each weather quantity that a reader accepts.
//!
//! Wider than any garden's weather and at or beyond the world records, so that
//! only a unit mix-up or a broken file falls outside. Source: World
//! Meteorological Organization, *World Weather & Climate Extremes Archive*
//! (air −89.2 to 56.7 °C, gust 113 m/s, 305 mm rain in 42 min, from memory).

/// A closed range of believable values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Name of the quantity, as a reader of an error message would say it.
    pub quantity: &'static str,
    /// Unit, as written in messages.
    pub unit: &'static str,
    /// Least believable value.
    pub least: f64,
    /// Greatest believable value.
    pub greatest: f64,
}

impl Bounds {
    const fn new(quantity: &'static str, unit: &'static str, least: f64, greatest: f64) -> Self {
        Self { quantity, unit, least, greatest }
    }

    /// Whether `value` is a number inside the range; NaN and infinities are not.
    #[must_use]
    pub fn holds(&self, value: f64) -> bool {
        value >= self.least && value <= self.greatest
    }
}

/// Air temperature.
pub const AIR_TEMPERATURE_C: Bounds = Bounds::new("air temperature", "°C", -90.0, 60.0);
/// A thermometer in a garden (chosen: no garden has been colder, none warmer).
pub const READING_C: Bounds = Bounds::new("reading", "°C", -60.0, 60.0);
/// Dew point.
pub const DEW_POINT_C: Bounds = Bounds::new("dew point", "°C", -110.0, 45.0);
/// Relative humidity; a little above 1 occurs in real files and is read as 1.
pub const RELATIVE_HUMIDITY: Bounds = Bounds::new("relative humidity", "of 1", 0.0, 1.1);
/// Wind speed, mean.
pub const WIND_SPEED_M_S: Bounds = Bounds::new("wind speed", "m/s", 0.0, 100.0);
/// Wind gust.
pub const WIND_GUST_M_S: Bounds = Bounds::new("wind gust", "m/s", 0.0, 130.0);
/// Cloud cover.
pub const CLOUD_FRACTION: Bounds = Bounds::new("cloud cover", "of 1", 0.0, 1.0);
/// Solar radiation; a little below zero is sensor noise and is read as zero.
pub const SHORTWAVE_W_M2: Bounds = Bounds::new("solar radiation", "W/m²", -20.0, 1600.0);
/// Precipitation in one hour.
pub const PRECIPITATION_MM: Bounds = Bounds::new("precipitation", "mm in an hour", 0.0, 450.0);
/// New snow in one hour.
pub const SNOWFALL_M: Bounds = Bounds::new("new snow", "m in an hour", 0.0, 0.6);
