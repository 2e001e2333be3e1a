//! What was said against what was read, for programs: SI units, UTC times, one object.

use diary::entry::Place;
use diary::skill::{self, Compared, ENOUGH};
use diary::utc;
use serde::Serialize;

use crate::answers::json_parts::Spread;

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

/// The answer of `rimefold diary skill --json`.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Skill {
    /// Version of the layout.
    layout: u32,
    /// Whether there are nights enough to judge by.
    enough_nights: bool,
    nights: Vec<Night>,
    left_out: Vec<LeftOut>,
    all: Option<Score>,
    open: Option<Score>,
    under: Option<Score>,
    /// Read less forecast.
    against_forecast: Option<Mean>,
    against_forecast_clear_calm: Option<Mean>,
    suggested_cold_spot_offset_k: Option<f64>,
    suggestion_rests_on_clear_calm_nights: Option<bool>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Night {
    /// Local date of its evening.
    night: String,
    /// Of the reading.
    id: String,
    at: String,
    r#where: Where,
    bed: Option<String>,
    sheet: Option<String>,
    plan: String,
    /// Number of the model behind the plan.
    model: u32,
    said_c: Spread,
    read_c: f64,
    /// Read less the middle of what was said.
    error_k: f64,
    /// Whether it lies between the 10 and the 90 % point.
    inside: bool,
    forecast_low_c: f64,
    clear_calm: bool,
}

#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum Where {
    Open,
    Under,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct LeftOut {
    night: String,
    id: String,
    why: Why,
}

/// Why a reading is not held against a plan.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum Why {
    #[serde(rename = "night not over")]
    NightNotOver,
    #[serde(rename = "no plan")]
    NoPlan,
    #[serde(rename = "not said")]
    NotSaid,
    #[serde(rename = "not the lowest")]
    NotLowest,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Score {
    readings: usize,
    nights: usize,
    bias_k: f64,
    rmse_k: f64,
    /// Share inside the 8-in-10 band.
    inside: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Mean {
    nights: usize,
    mean_k: f64,
    standard_error_k: Option<f64>,
    /// Whether it stands out from chance.
    stands: bool,
}

/// The whole answer.
pub fn layout(s: &skill::Skill) -> Skill {
    let suggestion = s.suggestion.as_ref();
    Skill {
        layout: LAYOUT,
        enough_nights: s.all.is_some_and(|a| a.nights >= ENOUGH),
        nights: s.nights.iter().map(night).collect(),
        left_out: s.left_out.iter().map(left_out).collect(),
        all: s.all.as_ref().map(score),
        open: s.open.as_ref().map(score),
        under: s.under.as_ref().map(score),
        against_forecast: s.offset.as_ref().map(mean),
        against_forecast_clear_calm: s.offset_clear_calm.as_ref().map(mean),
        suggested_cold_spot_offset_k: suggestion.map(|s| s.offset_k),
        suggestion_rests_on_clear_calm_nights: suggestion.map(|s| s.clear_calm),
    }
}

fn night(c: &Compared) -> Night {
    let (r#where, bed, sheet) = match &c.place {
        Place::Open { bed } => (Where::Open, bed.clone(), None),
        Place::Under { bed, sheet } => (Where::Under, Some(bed.clone()), sheet.clone()),
    };
    let said_c = Spread { p10: c.said_c.p10, p50: c.said_c.p50, p90: c.said_c.p90 };
    Night {
        night: c.night.to_string(),
        id: c.entry.to_string(),
        at: utc::format(c.at),
        r#where,
        bed,
        sheet,
        plan: c.plan.to_string(),
        model: c.model,
        said_c,
        read_c: c.read_c,
        error_k: c.error_k(),
        inside: c.inside(),
        forecast_low_c: c.forecast_low_c,
        clear_calm: c.clear_calm,
    }
}

fn left_out(l: &skill::LeftOut) -> LeftOut {
    let why = match l.why {
        skill::Why::NightNotOver => Why::NightNotOver,
        skill::Why::NoPlan => Why::NoPlan,
        skill::Why::NotSaid => Why::NotSaid,
        skill::Why::NotLowest => Why::NotLowest,
    };
    LeftOut { night: l.night.to_string(), id: l.entry.to_string(), why }
}

fn score(s: &skill::Score) -> Score {
    Score {
        readings: s.readings,
        nights: s.nights,
        bias_k: s.bias_k,
        rmse_k: s.rmse_k,
        inside: s.inside,
    }
}

fn mean(m: &skill::Mean) -> Mean {
    Mean {
        nights: m.nights,
        mean_k: m.mean_k,
        standard_error_k: m.standard_error_k,
        stands: m.stands(),
    }
}
