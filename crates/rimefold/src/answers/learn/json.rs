//! What was learned, for programs: SI units, UTC times, one object.

use diary::utc;
use serde::Serialize;

use crate::answers::learn::{LearnedCover, LearnedNight, Learnt, Lesson};

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

/// The answer of `rimefold learn --json`.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Learn {
    /// Version of the layout.
    layout: u32,
    nights: Vec<Night>,
    /// What it comes to; null from fewer than five nights.
    lesson: Option<LessonJson>,
    covers: Vec<CoverJson>,
    frozen_since: Option<String>,
    forgotten_until: Option<String>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Night {
    /// Local date of its evening.
    night: String,
    /// Read less forecast.
    error_k: f64,
    /// What was expected of it from the nights before: 10 % lie lower.
    expected_p10_k: Option<f64>,
    expected_p50_k: Option<f64>,
    expected_p90_k: Option<f64>,
    /// Whether it lies so far off that it may be a slip.
    unlikely: bool,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(rename = "Lesson"))]
struct LessonJson {
    /// Garden less forecast on an overcast night.
    cloudy_k: f64,
    /// Standard deviation of the doubt about it.
    cloudy_doubt_k: f64,
    /// On a clear calm night.
    clear_calm_k: f64,
    clear_calm_doubt_k: f64,
    /// Standard deviation of a night's error beyond that, before any reading.
    error_before_k: f64,
    error_k: f64,
    /// Readings against the bare forecast, and against it with what was known before each.
    rmse_before_k: Option<f64>,
    rmse_k: Option<f64>,
}

/// What readings under a cover say.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(rename = "Cover"))]
struct CoverJson {
    sheet: String,
    nights: usize,
    /// Gain as read less gain as said before any reading.
    gain_off_k: f64,
    standard_error_k: f64,
}

/// The whole answer.
pub fn layout(learnt: &Learnt) -> Learn {
    Learn {
        layout: LAYOUT,
        nights: learnt.nights.iter().map(night).collect(),
        lesson: learnt.lesson.as_ref().map(lesson),
        covers: learnt.covers.iter().map(cover).collect(),
        frozen_since: learnt.frozen_since.map(utc::format),
        forgotten_until: learnt.forgotten_until.map(utc::format),
    }
}

fn night(n: &LearnedNight) -> Night {
    let expected = |i: usize| n.expected_k.map(|e| e[i]);
    Night {
        night: n.date.to_string(),
        error_k: n.error_k,
        expected_p10_k: expected(0),
        expected_p50_k: expected(1),
        expected_p90_k: expected(2),
        unlikely: n.unlikely,
    }
}

fn cover(c: &LearnedCover) -> CoverJson {
    CoverJson {
        sheet: c.sheet.clone(),
        nights: c.nights,
        gain_off_k: c.off_k,
        standard_error_k: c.error_k,
    }
}

fn lesson(l: &Lesson) -> LessonJson {
    LessonJson {
        cloudy_k: l.cloudy_k[0],
        cloudy_doubt_k: l.cloudy_k[1],
        clear_calm_k: l.clear_k[0],
        clear_calm_doubt_k: l.clear_k[1],
        error_before_k: l.error_k[0],
        error_k: l.error_k[1],
        rmse_before_k: l.rmse_k.map(|r| r[0]),
        rmse_k: l.rmse_k.map(|r| r[1]),
    }
}
