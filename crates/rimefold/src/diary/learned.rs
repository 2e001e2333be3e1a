//! What the diary's readings teach of this garden: lessons of past nights, and the air read this evening.

use std::collections::BTreeMap;

use ::diary::Diary;
use ::diary::entry::{Extreme, Place, What};
use ::diary::learning::Teaching;
use ::diary::series::Series;
use evening::learned::{AirNow, Learned, clearness, day_number, prior};
use garden::Garden;
use garden::fit::Item;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use learning::constants::FEWEST_NIGHTS;
use learning::cover::{CoverLesson, CoverNight};
use learning::{Lessons, Night};
use quantities::Moment;
use weather::error_model::sigma_air_k;

use crate::format::count;
use crate::machines::{self, air, state};

/// Readings of the air are of this evening when they are no older, s.
const THIS_EVENING_S: i64 = 14 * 3600;

/// A night that was forecast and read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadNight {
    /// Local date of its evening.
    pub date: Date,
    /// Low of the forecast, °C.
    pub forecast_low_c: f64,
    /// Read in the open, °C: the mean of several thermometers.
    pub read_c: f64,
    /// For the learning.
    pub night: Night,
}

/// What a garden's own nights teach.
#[derive(Clone, Debug)]
pub struct GardenLessons {
    /// Every night that teaches, in order.
    pub nights: Vec<ReadNight>,
    /// Which nights teach.
    pub teaching: Teaching,
    /// What they teach.
    pub lessons: Lessons,
    /// What readings under each kind of cover teach, by its name, in order of name.
    pub covers: Vec<(String, Vec<CoverNight>)>,
}

/// What is known of this garden beyond its forecast.
#[derive(Clone, Debug)]
pub struct Known {
    garden: Option<GardenLessons>,
    covers: Vec<(Item, CoverLesson)>,
    evening: Vec<AirNow>,
    /// What is wrong with its sensors.
    pub troubles: Vec<String>,
}

impl Known {
    /// From a garden's diary, at a moment; nothing where there is none or it cannot be read.
    pub fn from_diary(diary: Option<&Diary>, garden: &Garden, now: Moment) -> Self {
        let lessons = diary.and_then(|d| GardenLessons::from_diary(d, garden).ok());
        let series = diary.and_then(machines::series_of);
        let series = series.as_ref();
        let evening = diary.map(|d| evening(d, series, garden, now)).unwrap_or_default();
        let covers = lessons.as_ref().map(|l| l.taught_covers(garden, day_number(now)));
        let troubles = series.map(|s| state::troubles(s, garden, now)).unwrap_or_default();
        Self { garden: lessons, covers: covers.unwrap_or_default(), evening, troubles }
    }

    /// What the plan goes by beside the forecast, in a sentence; `None` where nothing.
    pub fn told(&self) -> Option<String> {
        let nights = self.garden.as_ref().map_or(0, |g| g.lessons.nights());
        let nights = (nights >= FEWEST_NIGHTS)
            .then(|| format!("{} of this garden's own (rimefold learn)", count(nights, "night")));
        let readings = (!self.evening.is_empty()).then(|| {
            format!("{} of the air since this morning", count(self.evening.len(), "reading"))
        });
        let told: Vec<String> = nights.into_iter().chain(readings).collect();
        (!told.is_empty())
            .then(|| format!("(beside the forecast it goes by {})", told.join(" and ")))
    }

    /// The air as read since this morning.
    pub fn air(&self) -> &[AirNow] {
        &self.evening
    }

    /// For the evening plan, from forecasts so far apart.
    pub fn learned(&self, disagreement_k: f64) -> Learned<'_> {
        let lessons = self.garden.as_ref().map(|g| &g.lessons);
        Learned { lessons, evening: &self.evening, covers: &self.covers, disagreement_k }
    }
}

/// The air in the open as noted, or read by machines, in the hours before, in the order of time.
fn evening(diary: &Diary, series: Option<&Series>, garden: &Garden, now: Moment) -> Vec<AirNow> {
    let entries = diary.entries().unwrap_or_default();
    let standing = entries.iter().filter(|e| e.stands).map(|e| &e.entry);
    let of_air = standing.filter_map(|e| match &e.what {
        What::Reading { extreme: Extreme::Now, celsius, place: Place::Open { .. } } => {
            Some(AirNow { at: e.at, celsius: *celsius })
        }
        _ => None,
    });
    let mut out: Vec<AirNow> =
        of_air.filter(|r| r.at <= now && r.at.0 > now.0 - THIS_EVENING_S).collect();
    if let Some(series) = series {
        out.extend(air::open(series, garden, Moment(now.0 - THIS_EVENING_S), now));
    }
    out.sort_by_key(|r| r.at);
    out
}

impl GardenLessons {
    /// From a garden's diary.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn from_diary(diary: &Diary, garden: &Garden) -> Result<Self, ::diary::Error> {
        let zone = TimeZone::get(&garden.zone).unwrap_or(TimeZone::UTC);
        let teaching = diary.teaching()?;
        let mut nights: Vec<ReadNight> = Vec::new();
        let mut of_night = 0.0;
        let compared = diary.skill(&zone)?.nights;
        let compared = || compared.iter().filter(|c| teaching.holds(c.dark));
        for c in compared().filter(|c| c.is_open()) {
            // Several thermometers of one night are one night: their mean.
            if let Some(last) = nights.last_mut().filter(|n| n.date == c.night) {
                of_night += 1.0;
                last.read_c += (c.read_c - last.read_c) / of_night;
                last.night.error_k = last.read_c - last.forecast_low_c;
                continue;
            }
            of_night = 1.0;
            let night = Night {
                day: day_number(c.dark),
                error_k: c.read_c - c.forecast_low_c,
                clear: clearness(c.cloud, c.wind_m_s),
                sigma_k: sigma_air_k(c.lead_h),
            };
            nights.push(ReadNight {
                date: c.night,
                forecast_low_c: c.forecast_low_c,
                read_c: c.read_c,
                night,
            });
        }
        let of: Vec<Night> = nights.iter().map(|n| n.night).collect();
        let lessons = Lessons::from_nights(&prior(&garden.site), &of);
        let mut covers: BTreeMap<String, Vec<CoverNight>> = BTreeMap::new();
        for c in compared() {
            let Place::Under { sheet: Some(sheet), .. } = &c.place else { continue };
            // The gain as read, less the gain as said before any reading taught it.
            let Some(open) = nights.iter().find(|n| n.date == c.night) else { continue };
            let said = c.said_c.p50 - c.taught_k - c.garden_said_c;
            let night =
                CoverNight { day: day_number(c.dark), off_k: c.read_c - open.read_c - said };
            covers.entry(sheet.clone()).or_default().push(night);
        }
        Ok(Self { nights, teaching, lessons, covers: covers.into_iter().collect() })
    }

    /// What readings under covers teach on a day, by the place in the stock.
    pub fn taught_covers(&self, garden: &Garden, day: f64) -> Vec<(Item, CoverLesson)> {
        let item = |name: &str| {
            let same = |n: &String| n.eq_ignore_ascii_case(name);
            let sheet = garden.stock.sheets.iter().position(|s| same(&s.name)).map(Item::Sheet);
            let pop_up = || garden.stock.pop_ups.iter().position(|p| same(&p.name));
            sheet.or_else(|| pop_up().map(Item::PopUp))
        };
        let lesson = |(name, nights): &(String, Vec<CoverNight>)| {
            Some((item(name)?, CoverLesson::from_nights(nights, day)?))
        };
        self.covers.iter().filter_map(lesson).collect()
    }
}
