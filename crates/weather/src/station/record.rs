//! A station's days in a row, four bytes a day, six where it measures snow.

use std::ops::RangeInclusive;

use jiff::civil::Date;
use quantities::Place;

use super::calendar::{date_of, day_number};
use super::unit::Unit;
use crate::forecast::Notice;

/// Stands for "not measured" in a column of tenths.
pub(crate) const ABSENT: i16 = i16::MIN;

/// Who measured, as far as the file says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Station {
    /// The network's own identifier.
    pub id: Option<String>,
    /// Name.
    pub name: Option<String>,
    /// Degrees north, −90 to 90.
    pub latitude_deg: Option<f64>,
    /// Degrees east, −180 to 180.
    pub longitude_deg: Option<f64>,
    /// Metres above sea level.
    pub elevation_m: Option<f64>,
    /// Years of daily minima that an inventory names, first to last.
    pub years: Option<(i16, i16)>,
}

impl Station {
    /// Where it stands, when latitude, longitude and elevation are all known.
    #[must_use]
    pub fn place(&self) -> Option<Place> {
        Some(Place {
            latitude_deg: self.latitude_deg?,
            longitude_deg: self.longitude_deg?,
            elevation_m: self.elevation_m?,
        })
    }
}

/// One day as measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Day {
    /// Its date, as the observer booked it.
    pub date: Date,
    /// Minimum, °C to a tenth.
    pub tmin_c: Option<f64>,
    /// Maximum, °C to a tenth.
    pub tmax_c: Option<f64>,
    /// Snow on the ground as read that morning, m.
    pub snow_m: Option<f64>,
}

/// How many values were refused and why.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Refused because the network's quality check flagged them.
    pub flagged: usize,
    /// Outside what air can be (−90 to 60 °C).
    pub implausible: usize,
    /// Written twice with the same value.
    pub repeated: usize,
    /// Days written twice with different values: neither is believed.
    pub contradicting: usize,
    /// Days whose minimum is above their maximum: neither is believed.
    pub crossed: usize,
    /// Written with the noise of binary fractions, rounded to a tenth of °C.
    pub noisy: usize,
    /// Days without a minimum.
    pub without_min: usize,
    /// Days without a maximum.
    pub without_max: usize,
    /// Longest run of days without a minimum.
    pub longest_gap: usize,
    /// When the thermometer was read.
    pub observed: Observed,
}

/// Hours at which minima were read, where the file says.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Observed {
    /// 05 to 11 h: the maximum of the day before is booked on the day.
    pub morning: usize,
    /// 15 to 21 h: a cold evening may count on two days.
    pub afternoon: usize,
    /// 22 to 24 and 0 to 4 h: calendar days.
    pub midnight: usize,
    /// Other hours.
    pub other: usize,
}

impl Observed {
    pub(crate) fn note(&mut self, hhmm: i32) {
        *match hhmm / 100 {
            5..=11 => &mut self.morning,
            15..=21 => &mut self.afternoon,
            22..=24 | 0..=4 => &mut self.midnight,
            _ => &mut self.other,
        } += 1;
    }

    /// How many minima came with an hour.
    #[must_use]
    pub fn known(&self) -> usize {
        self.morning + self.afternoon + self.midnight + self.other
    }
}

/// Minimum and maximum in tenths of °C.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Tenths {
    pub min: i16,
    pub max: i16,
}

impl Tenths {
    pub const NONE: Self = Self { min: ABSENT, max: ABSENT };
}

/// Every day from the first to the last that a station measured.
#[derive(Clone, Debug, PartialEq)]
pub struct StationRecord {
    /// Who measured.
    pub station: Station,
    /// Unit of the file.
    pub unit: Unit,
    /// What was refused.
    pub tally: Tally,
    /// What was missing, refused or odd, in whole sentences.
    pub notices: Vec<Notice>,
    pub(crate) first: i32,
    pub(crate) days: Vec<Tenths>,
    /// Depth of snow by day, mm; empty where the file has none.
    pub(crate) snow_mm: Vec<i16>,
}

impl StationRecord {
    /// First day.
    #[must_use]
    pub fn first(&self) -> Date {
        date_of(self.first)
    }

    /// Last day.
    #[must_use]
    pub fn last(&self) -> Date {
        date_of(self.first + self.days.len() as i32 - 1)
    }

    /// Calendar years from the first day to the last.
    #[must_use]
    pub fn years(&self) -> RangeInclusive<i16> {
        self.first().year()..=self.last().year()
    }

    /// The day of a date; `None` outside the record. A hole inside it is a day without values.
    #[must_use]
    pub fn day(&self, date: Date) -> Option<Day> {
        let number = day_number(date);
        self.at(number).map(|t| self.told(number, t))
    }

    /// All days in order.
    pub fn days(&self) -> impl Iterator<Item = Day> + '_ {
        self.days.iter().enumerate().map(|(i, t)| self.told(self.first + i as i32, *t))
    }

    pub(crate) fn at(&self, number: i32) -> Option<Tenths> {
        usize::try_from(number.checked_sub(self.first)?)
            .ok()
            .and_then(|i| self.days.get(i))
            .copied()
    }

    /// Whether any day has a depth of snow.
    #[must_use]
    pub fn has_snow(&self) -> bool {
        !self.snow_mm.is_empty()
    }

    fn told(&self, number: i32, t: Tenths) -> Day {
        let place = usize::try_from(number - self.first).ok();
        let snow = place.and_then(|i| self.snow_mm.get(i)).filter(|mm| **mm != ABSENT);
        Day {
            date: date_of(number),
            tmin_c: celsius(t.min),
            tmax_c: celsius(t.max),
            snow_m: snow.map(|mm| f64::from(*mm) / 1000.0),
        }
    }

    /// Tenths of °C of a day's minimum, or [`ABSENT`].
    pub(crate) fn min_at(&self, number: i32) -> i16 {
        self.at(number).map_or(ABSENT, |t| t.min)
    }
}

pub(crate) fn celsius(tenths: i16) -> Option<f64> {
    (tenths != ABSENT).then(|| f64::from(tenths) / 10.0)
}
