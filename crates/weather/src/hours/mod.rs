//! Days into hours: a curve through the measured minima and maxima, and draws for what was never measured.
//!
//! Everything here is a [`DerivedHour`]: its own type, so that nobody takes it for a measurement. The minimum of a date
//! stands at its sunrise, the maximum four hours before its sunset; an hour whose minimum, maximum or next minimum is
//! missing is unknown.
//!
//! ```
//! # let csv = b"date,tmin_c,tmax_c\n1990-05-01,0,20\n1990-05-02,2,20\n1990-05-03,4,20\n";
//! # let record = weather::station::read(csv)?;
//! let place = quantities::Place { latitude_deg: 40.0, longitude_deg: -105.0, elevation_m: 1500.0 };
//! let day = jiff::civil::date(1990, 5, 2);
//! let hours: Vec<_> = weather::hours::hours_of(&record, &place, day, day).collect();
//! assert_eq!(hours.len(), 24);
//! let coldest = hours.iter().filter_map(|h| h.air_temperature_c).fold(99.0, f64::min);
//! assert!((coldest - 2.0).abs() < 0.5);
//! # Ok::<(), weather::ReadError>(())
//! ```

pub mod diurnal_curve;
pub mod draws;

use jiff::civil::Date;
use quantities::daylight;
use quantities::time::SECONDS_PER_HOUR;
use quantities::{Interval, Meaning, Moment, Origin, Place, Reading, WeatherHour};

use crate::constants::{COOLING_POWER, DAY_LENGTH_H};
use crate::station::StationRecord;
use crate::station::calendar::{date_of, day_number};
use diurnal_curve::DiurnalCurve;
use draws::{DayDraw, DayFacts, Priors};

/// One hour made out of a day's minimum and maximum; nothing in it was measured in that hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DerivedHour {
    /// The hour in UTC.
    pub interval: Interval,
    /// The date whose sunrise opened the stretch that the hour lies in.
    pub date: Date,
    /// Whether the sun is down in the middle of the hour.
    pub night: bool,
    /// Air temperature in the middle of the hour, °C.
    pub air_temperature_c: Option<f64>,
    /// Dew point drawn, °C; only with [`Hours::with_draws`].
    pub dew_point_c: Option<f64>,
    /// Cloud drawn, 0 to 1; only with [`Hours::with_draws`].
    pub cloud_fraction: Option<f64>,
    /// Wind drawn, m/s; only with [`Hours::with_draws`] and a wind prior.
    pub wind_speed_m_s: Option<f64>,
}

impl DerivedHour {
    /// The hour for those who compute with it; every reading is marked [`Origin::Derived`].
    #[must_use]
    pub fn as_weather_hour(&self) -> WeatherHour {
        let derived = |value| Reading { value, meaning: Meaning::Mean, origin: Origin::Derived };
        WeatherHour {
            air_temperature_c: self.air_temperature_c.map(derived),
            dew_point_c: self.dew_point_c.map(derived),
            cloud_fraction: self.cloud_fraction.map(derived),
            wind_speed_m_s: self.wind_speed_m_s.map(derived),
            ..WeatherHour::unknown(self.interval)
        }
    }
}

/// Hours of the dates `from` to `to`, both whole, in the zone of 15° that the place lies in.
///
/// An iterator that keeps one day at a time. Where the file says that most minima were read in the morning, the maximum
/// of a date is that booked on the next. Checked by `hours::rebuilt_nights_beside_measured`,
/// `hours::a_hole_stays_a_hole`.
#[must_use]
pub fn hours_of<'a>(record: &'a StationRecord, place: &Place, from: Date, to: Date) -> Hours<'a> {
    let zone_h = (place.longitude_deg / 15.0).round() as i64;
    let midnight =
        |day: i32| Moment(i64::from(day) * 86_400).plus_seconds(-zone_h * SECONDS_PER_HOUR);
    let (first, last) = (day_number(from), day_number(to));
    let observed = record.tally.observed;
    let max_later = i32::from(2 * observed.morning > observed.known());
    let mut hours = Hours {
        record,
        place: *place,
        max_later,
        power: COOLING_POWER,
        priors: None,
        next: midnight(first),
        end: midnight(last.saturating_add(1)),
        today: Today::default(),
    };
    hours.open(first.saturating_sub(1));
    hours
}

/// The day that the iterator is in.
#[derive(Clone, Copy, Debug, Default)]
struct Today {
    number: i32,
    sunset_h: f64,
    next_sunrise_h: f64,
    span: Option<DiurnalCurve>,
    draw: Option<DayDraw>,
}

/// Hours one after another; see [`hours_of`].
#[derive(Clone, Debug)]
pub struct Hours<'a> {
    record: &'a StationRecord,
    place: Place,
    max_later: i32,
    power: f64,
    priors: Option<Priors>,
    next: Moment,
    end: Moment,
    today: Today,
}

impl Hours<'_> {
    /// The same hours with dew point, cloud and wind drawn.
    #[must_use]
    pub fn with_draws(mut self, priors: Priors) -> Self {
        self.priors = Some(priors);
        self.open(self.today.number);
        self
    }

    /// The same hours with another power of the nightly fall (½ as published), for comparison.
    #[must_use]
    pub fn with_power(mut self, power: f64) -> Self {
        self.power = power;
        self
    }

    /// Sunrise and sunset of a day, hours UTC since 1970.
    fn light(&self, number: i32) -> (f64, f64) {
        let j = f64::from(date_of(number).day_of_year());
        let noon =
            f64::from(number) * 24.0 + daylight::solar_noon_utc_h(self.place.longitude_deg, j);
        let half = daylight::day_length_h(self.place.latitude_deg, j)
            .clamp(DAY_LENGTH_H.0, DAY_LENGTH_H.1)
            / 2.0;
        (noon - half, noon + half)
    }

    fn open(&mut self, number: i32) {
        let (sunrise_h, sunset_h) = self.light(number);
        let (next_sunrise_h, _) = self.light(number + 1);
        let day = |n: i32| self.record.at(n);
        let celsius = crate::station::celsius;
        let span = (|| {
            Some(DiurnalCurve {
                sunrise_h,
                sunset_h,
                next_sunrise_h,
                min_c: celsius(day(number)?.min)?,
                max_c: celsius(day(number + self.max_later)?.max)?,
                next_min_c: celsius(day(number + 1)?.min)?,
            })
        })();
        let draw = self.priors.zip(span).map(|(priors, span)| {
            priors.draw(&DayFacts {
                number,
                month: usize::from(date_of(number).month().unsigned_abs()) - 1,
                elevation_m: self.place.elevation_m,
                max_c: span.max_c,
                next_min_c: span.next_min_c,
            })
        });
        self.today = Today { number, sunset_h, next_sunrise_h, span, draw };
    }
}

impl Iterator for Hours<'_> {
    type Item = DerivedHour;

    fn next(&mut self) -> Option<DerivedHour> {
        if self.next >= self.end {
            return None;
        }
        let interval = Interval::hour_from(self.next);
        self.next = interval.end;
        let middle_h = interval.middle().0 as f64 / SECONDS_PER_HOUR as f64;
        while middle_h >= self.today.next_sunrise_h {
            self.open(self.today.number + 1);
        }
        let Today { number, sunset_h, span, draw, .. } = self.today;
        let air = span.map(|s| s.temperature_c(middle_h, self.power));
        let night = middle_h >= sunset_h;
        Some(DerivedHour {
            interval,
            date: date_of(number),
            night,
            air_temperature_c: air,
            dew_point_c: draw.zip(air).map(|(d, t)| d.dew_point_c.min(t)),
            cloud_fraction: draw.map(|d| d.cloud_fraction),
            wind_speed_m_s: draw.and_then(|d| d.wind_m_s).map(|w| if night { w.1 } else { w.0 }),
        })
    }
}
