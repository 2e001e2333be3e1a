//! Hours gathered quantity by quantity, each value checked against what is believable.

use std::collections::BTreeMap;

use quantities::bounds::{self, Bounds};
use quantities::moist_air::{dew_point_c, saturation_over_water_kpa};
use quantities::time::SECONDS_PER_HOUR;
use quantities::{Interval, Meaning, Moment, Origin, Reading, WeatherHour};

use crate::constants::{DEW_ABOVE_AIR_K, MOST_HOURS, SPIKE_K, WIND_ABOVE_GUST};
use crate::error::ReadError;
use crate::forecast::Notice;

/// A weather quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Air temperature.
    AirTemperature,
    /// Dew point.
    DewPoint,
    /// Relative humidity.
    RelativeHumidity,
    /// Mean wind.
    WindSpeed,
    /// Gust.
    WindGust,
    /// Cloud cover.
    Cloud,
    /// Sunlight on the level.
    Shortwave,
    /// Rain and melted snow.
    Precipitation,
    /// New snow.
    Snowfall,
}

/// Every quantity.
pub const ALL: [Quantity; 9] = [
    Quantity::AirTemperature,
    Quantity::DewPoint,
    Quantity::RelativeHumidity,
    Quantity::WindSpeed,
    Quantity::WindGust,
    Quantity::Cloud,
    Quantity::Shortwave,
    Quantity::Precipitation,
    Quantity::Snowfall,
];

impl Quantity {
    /// What is believable.
    #[must_use]
    pub fn bounds(self) -> Bounds {
        match self {
            Self::AirTemperature => bounds::AIR_TEMPERATURE_C,
            Self::DewPoint => bounds::DEW_POINT_C,
            Self::RelativeHumidity => bounds::RELATIVE_HUMIDITY,
            Self::WindSpeed => bounds::WIND_SPEED_M_S,
            Self::WindGust => bounds::WIND_GUST_M_S,
            Self::Cloud => bounds::CLOUD_FRACTION,
            Self::Shortwave => bounds::SHORTWAVE_W_M2,
            Self::Precipitation => bounds::PRECIPITATION_MM,
            Self::Snowfall => bounds::SNOWFALL_M,
        }
    }

    /// Its reading in an hour.
    #[must_use]
    pub fn reading(self, hour: &WeatherHour) -> Option<Reading> {
        match self {
            Self::AirTemperature => hour.air_temperature_c,
            Self::DewPoint => hour.dew_point_c,
            Self::RelativeHumidity => hour.relative_humidity,
            Self::WindSpeed => hour.wind_speed_m_s,
            Self::WindGust => hour.wind_gust_m_s,
            Self::Cloud => hour.cloud_fraction,
            Self::Shortwave => hour.shortwave_w_m2,
            Self::Precipitation => hour.precipitation_mm,
            Self::Snowfall => hour.snowfall_m,
        }
    }

    /// What the name of a layer of it contains, in small letters and without marks.
    fn stems(self) -> &'static [&'static str] {
        match self {
            Self::AirTemperature => &["temp"],
            Self::DewPoint => &["dew"],
            Self::RelativeHumidity => &["humid"],
            Self::WindSpeed => &["windspeed", "windvelocity"],
            Self::WindGust => &["gust"],
            Self::Cloud => &["cloud", "skycover"],
            Self::Shortwave => &["shortwave", "solar", "radiation"],
            Self::Precipitation => &["precip", "rain"],
            Self::Snowfall => &["snowfall", "newsnow"],
        }
    }

    fn slot(self, hour: &mut WeatherHour) -> &mut Option<Reading> {
        match self {
            Self::AirTemperature => &mut hour.air_temperature_c,
            Self::DewPoint => &mut hour.dew_point_c,
            Self::RelativeHumidity => &mut hour.relative_humidity,
            Self::WindSpeed => &mut hour.wind_speed_m_s,
            Self::WindGust => &mut hour.wind_gust_m_s,
            Self::Cloud => &mut hour.cloud_fraction,
            Self::Shortwave => &mut hour.shortwave_w_m2,
            Self::Precipitation => &mut hour.precipitation_mm,
            Self::Snowfall => &mut hour.snowfall_m,
        }
    }
}

/// Hours in the making.
#[derive(Debug, Default)]
pub struct Timeline {
    hours: BTreeMap<i64, WeatherHour>,
    unread: Vec<String>,
}

/// Why a value was refused: found, expected.
#[derive(Clone, Debug, PartialEq)]
pub struct Refused {
    /// What stands there.
    pub found: String,
    /// What should.
    pub expected: String,
}

impl Timeline {
    /// Puts one reading into the hour that begins at or before `start`.
    ///
    /// # Errors
    /// A value outside its bounds or a time more than 40 days from the rest.
    pub fn put(
        &mut self,
        start: Moment,
        quantity: Quantity,
        reading: Reading,
    ) -> Result<(), Refused> {
        let b = quantity.bounds();
        if !b.holds(reading.value) {
            return Err(Refused {
                found: format!("{} {:.4} {}", b.quantity, reading.value, b.unit),
                expected: format!("{} to {} {}", b.least, b.greatest, b.unit),
            });
        }
        let key = start.floor_hour().0;
        let first = self.hours.keys().next().copied().unwrap_or(key);
        let last = self.hours.keys().next_back().copied().unwrap_or(key);
        if (key.max(last) - key.min(first)) / SECONDS_PER_HOUR > MOST_HOURS {
            return Err(Refused {
                found: "times more than 40 days apart".into(),
                expected: "one forecast of at most 40 days".into(),
            });
        }
        let mut reading = reading;
        if quantity == Quantity::RelativeHumidity {
            reading.value = reading.value.min(1.0);
        }
        if quantity == Quantity::Shortwave {
            reading.value = reading.value.max(0.0);
        }
        let hour = self
            .hours
            .entry(key)
            .or_insert_with(|| WeatherHour::unknown(Interval::hour_from(Moment(key))));
        *quantity.slot(hour) = Some(reading);
        Ok(())
    }

    /// Puts a value that holds over `[start, start + hours)`: a sum is shared, anything else repeated.
    ///
    /// # Errors
    /// As [`Timeline::put`], or a stretch longer than 40 days.
    pub fn spread(
        &mut self,
        start: Moment,
        hours: i64,
        quantity: Quantity,
        value: f64,
        meaning: Meaning,
    ) -> Result<(), Refused> {
        if !(1..=MOST_HOURS).contains(&hours) {
            return Err(Refused {
                found: format!("a stretch of {hours} hours"),
                expected: format!("1 to {MOST_HOURS} hours"),
            });
        }
        let value = if meaning == Meaning::Sum { value / hours as f64 } else { value };
        let origin = if hours == 1 { Origin::Given } else { Origin::Interpolated };
        for k in 0..hours {
            let at = start.plus_seconds(k * SECONDS_PER_HOUR);
            self.put(at, quantity, Reading { value, meaning, origin })?;
        }
        Ok(())
    }

    /// Whether nothing was put in yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.hours.is_empty()
    }

    /// Notes that the file has a layer of this name, which is not read.
    pub fn leave_unread(&mut self, name: &str) {
        self.unread.push(name.chars().take(60).collect());
    }

    /// What is told of a quantity that is nowhere: a layer whose name sounds like it, where there is one.
    fn nowhere(&self, quantity: Quantity) -> String {
        let name = quantity.bounds().quantity;
        let sounds = |layer: &&String| {
            let plain: String =
                layer.to_lowercase().chars().filter(char::is_ascii_alphanumeric).collect();
            quantity.stems().iter().any(|stem| plain.contains(stem))
        };
        match self.unread.iter().find(sounds) {
            Some(layer) => format!("{name}: the forecast has `{layer}`, which is not read."),
            None => format!("The forecast says nothing about {name}."),
        }
    }

    /// Draws a straight line between readings at the start of hours that are at most `gap` hours apart.
    pub fn interpolate(&mut self, quantity: Quantity, gap: i64) {
        let known: Vec<(i64, Reading)> =
            self.hours.iter().filter_map(|(k, h)| Some((*k, quantity.reading(h)?))).collect();
        for pair in known.windows(2) {
            let [(from, a), (to, b)] = pair else { continue };
            let steps = (to - from) / SECONDS_PER_HOUR;
            if steps < 2 || steps > gap {
                continue;
            }
            for k in 1..steps {
                let key = from + k * SECONDS_PER_HOUR;
                let share = k as f64 / steps as f64;
                let value = a.value + (b.value - a.value) * share;
                let hour = self
                    .hours
                    .entry(key)
                    .or_insert_with(|| WeatherHour::unknown(Interval::hour_from(Moment(key))));
                *quantity.slot(hour) =
                    Some(Reading { value, meaning: a.meaning, origin: Origin::Interpolated });
            }
        }
    }

    /// Consecutive hours from the first to the last, with notices on what is missing.
    ///
    /// # Errors
    /// [`ReadError::NoTemperature`].
    pub fn finish(
        mut self,
        format: &'static str,
        notices: &mut Vec<Notice>,
    ) -> Result<Vec<WeatherHour>, ReadError> {
        self.refuse_impossible(notices);
        self.derive_humidity(notices);
        // Hours before the first and after the last air temperature serve no plan.
        let known: Vec<i64> = self
            .hours
            .iter()
            .filter(|(_, h)| h.air_temperature_c.is_some())
            .map(|(k, _)| *k)
            .collect();
        if let (Some(first), Some(last)) = (known.first(), known.last()) {
            self.hours.retain(|k, _| (first..=last).contains(&k));
        }
        let (Some(first), Some(last)) =
            (self.hours.keys().next().copied(), self.hours.keys().next_back().copied())
        else {
            return Err(ReadError::NoTemperature { format });
        };
        let hours: Vec<WeatherHour> = (0..=(last - first) / SECONDS_PER_HOUR)
            .map(|k| {
                let key = first + k * SECONDS_PER_HOUR;
                self.hours
                    .get(&key)
                    .copied()
                    .unwrap_or_else(|| WeatherHour::unknown(Interval::hour_from(Moment(key))))
            })
            .collect();
        if hours.iter().all(|h| h.air_temperature_c.is_none()) {
            return Err(ReadError::NoTemperature { format });
        }
        for quantity in ALL {
            let missing = hours.iter().filter(|h| quantity.reading(h).is_none()).count();
            let name = quantity.bounds().quantity;
            if missing == hours.len() {
                notices.push(Notice(self.nowhere(quantity)));
            } else if missing > 0 {
                let of = hours.len();
                notices.push(Notice(format!("{name}: missing in {missing} of {of} hours.")));
            }
        }
        Ok(hours)
    }

    /// Leaves out what no weather can be, and tells how often.
    /// Checked by `impossible::what_no_weather_can_be_is_told_and_not_used`.
    fn refuse_impossible(&mut self, notices: &mut Vec<Notice>) {
        let air: Vec<(i64, f64)> = self
            .hours
            .iter()
            .filter_map(|(key, hour)| Some((*key, hour.air_temperature_c?.value)))
            .collect();
        let cold = |c: f64| !bounds::READING_C.holds(c);
        let spike = |i: usize| {
            let near = air.iter().enumerate().skip(i.saturating_sub(2)).take(5);
            let mut near: Vec<f64> = near.filter(|(j, _)| *j != i).map(|(_, a)| a.1).collect();
            near.sort_unstable_by(f64::total_cmp);
            let middle = near.get(near.len() / 2).zip(near.get(near.len().saturating_sub(1) / 2));
            near.len() > 1
                && middle.is_some_and(|(a, b)| (air[i].1 - 0.5 * (a + b)).abs() >= SPIKE_K)
        };
        let mut counts = [0; 4];
        for (i, (key, celsius)) in air.iter().enumerate() {
            let which = if cold(*celsius) {
                0
            } else if spike(i) {
                1
            } else {
                continue;
            };
            counts[which] += 1;
            if let Some(hour) = self.hours.get_mut(key) {
                hour.air_temperature_c = None;
            }
        }
        for hour in self.hours.values_mut() {
            if let (Some(dew), Some(air)) = (hour.dew_point_c, hour.air_temperature_c)
                && dew.value > air.value + DEW_ABOVE_AIR_K
            {
                hour.dew_point_c = None;
                counts[2] += 1;
            }
            if let (Some(wind), Some(gust)) = (hour.wind_speed_m_s, hour.wind_gust_m_s) {
                let (most, share) = WIND_ABOVE_GUST;
                if wind.value - gust.value > most.max(share * gust.value) {
                    (hour.wind_speed_m_s, hour.wind_gust_m_s) = (None, None);
                    counts[3] += 1;
                }
            }
        }
        let told = [
            "air below −60 or above 60 °C",
            "air 30 K or more off the hours around it",
            "dew point more than 1 K above the air",
            "mean wind above its own gusts",
        ];
        for (count, what) in counts.into_iter().zip(told).filter(|(count, _)| *count > 0) {
            let hours = if count == 1 { "1 hour".to_owned() } else { format!("{count} hours") };
            notices
                .push(Notice(format!("Not used, because no weather is so: {what}, in {hours}.")));
        }
    }

    /// Dew point from humidity or humidity from dew point, where one is given and the other is not.
    ///
    /// e = RH · e°(T), Td the dew point of e. Checked by `readers::humidity_is_derived_as_the_handbook_does`.
    fn derive_humidity(&mut self, notices: &mut Vec<Notice>) {
        let (mut dew, mut humidity) = (0, 0);
        for hour in self.hours.values_mut() {
            let Some(air) = hour.air_temperature_c else { continue };
            match (hour.dew_point_c, hour.relative_humidity) {
                (None, Some(rh)) if rh.value > 0.0 => {
                    let value = dew_point_c(rh.value * saturation_over_water_kpa(air.value));
                    if !bounds::DEW_POINT_C.holds(value) {
                        continue;
                    }
                    hour.dew_point_c = Some(Reading { value, origin: Origin::Derived, ..air });
                    dew += 1;
                }
                (Some(td), None) => {
                    let value = (saturation_over_water_kpa(td.value)
                        / saturation_over_water_kpa(air.value))
                    .min(1.0);
                    hour.relative_humidity =
                        Some(Reading { value, origin: Origin::Derived, ..air });
                    humidity += 1;
                }
                _ => {}
            }
        }
        if dew > 0 {
            notices.push(Notice("Dew point computed from temperature and humidity.".into()));
        }
        if humidity > 0 {
            notices.push(Notice("Humidity computed from temperature and dew point.".into()));
        }
    }
}
