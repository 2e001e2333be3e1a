//! What to cover tonight; in the morning, what to open of the night that is ending.

pub mod bar;
pub mod brief;
pub mod events;
pub mod json;
pub mod now;
pub mod svg;
pub mod text;
pub mod weather_svg;
pub mod wording;
pub mod wrong_place;

use diary::Diary;
use evening::learned::Learned;
use evening::report::Report;
use evening::{Settings, tonight_knowing};
use garden::Garden;
use garden::lying::{self, NotedBed};
use quantities::Moment;
use weather::Forecast;

use crate::exit::{Exit, Failure};
use crate::format::GardenFormat;

/// Until this hour, local, the night that is ending is still shown, with what to open.
pub const MORNING_ENDS: i8 = 11;
/// Before this long ahead of sunrise a plan can still be carried out in the dark, s.
const BEFORE_SUNRISE_S: i64 = 3600;
/// A sunrise longer ago than this is not this morning's, s.
const HALF_DAY_S: i64 = 12 * 3600;
/// Local hour at which a night is planned that nobody had planned the evening before.
const USUAL_HOUR: i8 = 16;

/// What a plan is made from.
#[derive(Clone, Copy)]
pub struct Question<'a> {
    /// The garden.
    pub garden: &'a Garden,
    /// What is noted of covers; where anything is, the plan goes by it.
    pub noted: &'a [NotedBed],
    /// The forecast at hand.
    pub forecast: &'a Forecast,
    /// The weather of the days before, where it is known.
    pub past: Option<&'a Forecast>,
    /// How the possible nights are drawn.
    pub settings: Settings,
    /// What is known of this garden beyond its forecast.
    pub learned: Learned<'a>,
}

/// The plan last made for a night, as the diary has it.
pub struct SavedPlan {
    asked_at: Moment,
    sunrise: Moment,
    forecast: Option<Forecast>,
}

impl SavedPlan {
    /// The newest in a diary for the night that ends in the morning of `now`; `None` where it holds none.
    pub fn of_ending_night(diary: &Diary, now: Moment) -> Option<Self> {
        // A sunrise that is less than an hour ahead, or lies back no more than half a day.
        let plan = diary
            .plan_with_sunrise(now.plus_seconds(-HALF_DAY_S), now.plus_seconds(BEFORE_SUNRISE_S))
            .ok()??;
        let bytes = plan.forecast.and_then(|sha256| diary.forecast_bytes(&sha256).ok()?);
        let forecast = bytes.and_then(|b| weather::read(&b).ok());
        Some(Self { asked_at: plan.asked_at, sunrise: plan.sunrise, forecast })
    }
}

impl Question<'_> {
    /// The plan of the night that is coming at `now`.
    ///
    /// # Errors
    /// The forecast does not serve, or a bug of ours.
    pub fn coming_night(&self, now: Moment) -> Result<Report, Failure> {
        self.plan(self.forecast, now)
    }

    /// The night that is ending, as it was planned: by the diary's plan where it has one, else as it would have been
    /// planned from this forecast in the afternoon. `None` where it is no morning, or no forecast reaches back, or the
    /// diary tells what lies: then the coming night's plan says what comes off.
    pub fn ending_night(&self, saved: Option<&SavedPlan>, now: Moment) -> Option<Report> {
        let words = GardenFormat::new(self.garden.units, &self.garden.zone);
        if !self.noted.is_empty() {
            return None;
        }
        if words.hour(now) >= MORNING_ENDS {
            return None;
        }
        let afternoon = words.at_hour_of_day_before(now, USUAL_HOUR)?;
        let ends_now = |r: &Report| r.sun.sunrise.plus_seconds(-BEFORE_SUNRISE_S) < now;
        let as_planned = saved.and_then(|s| {
            let forecast = s.forecast.as_ref().unwrap_or(self.forecast);
            self.plan(forecast, s.asked_at).ok().filter(|r| r.sun.sunrise == s.sunrise)
        });
        let report = as_planned.or_else(|| self.plan(self.forecast, afternoon).ok())?;
        ends_now(&report).then_some(report)
    }

    fn plan(&self, forecast: &Forecast, at: Moment) -> Result<Report, Failure> {
        let state = lying::derive(self.garden, self.noted, at);
        let learned = self.learned.as_of(at);
        tonight_knowing(self.garden, &state, forecast, self.past, at, self.settings, &learned)
            .map_err(|e| Failure::from_fault(&e, Exit::Unsuitable))
    }
}
