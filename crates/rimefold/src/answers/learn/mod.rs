//! What this garden's own thermometer has taught, before and after.

pub mod json;
pub mod svg;
pub mod text;

use evening::learned::{clearness, prior};
use garden::Garden;
use jiff::civil::Date;
use learning::Lessons;
use learning::constants::FEWEST_NIGHTS;
use learning::cover::CoverLesson;
use quantities::Moment;
use weather::error_model::sigma_air_k;

use crate::diary::learned::GardenLessons;
use crate::format::{GardenFormat, count};

/// Lead of an evening's forecast for the night's low, h, in what is said of nights in general.
const LEAD_H: f64 = 14.0;
/// A reading is asked about when fewer nights than this share lie as far off.
const UNLIKELY: f64 = 0.002;

/// One night, with what was known of the garden before it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LearnedNight {
    /// Local date of its evening.
    pub date: Date,
    /// Read less forecast, K.
    pub error_k: f64,
    /// What was expected of it from the nights before: one night in ten lower, half, one in ten higher; `None` for the first
    /// five.
    pub expected_k: Option<[f64; 3]>,
    /// Whether it lies so far off that it may be a slip.
    pub unlikely: bool,
}

/// What was learned.
#[derive(Clone, Debug, PartialEq)]
pub struct Learnt {
    /// Every night that teaches.
    pub nights: Vec<LearnedNight>,
    /// Only nights after this.
    pub forgotten_until: Option<Moment>,
    /// Only nights before this.
    pub frozen_since: Option<Moment>,
    /// What it comes to; `None` from fewer than five nights.
    pub lesson: Option<Lesson>,
    /// What readings under covers say, by name.
    pub covers: Vec<LearnedCover>,
}

/// What readings under one kind of cover say.
#[derive(Clone, Debug, PartialEq)]
pub struct LearnedCover {
    /// Its name.
    pub sheet: String,
    /// Nights it rests on.
    pub nights: usize,
    /// Gain as read less gain as said before any reading, K.
    pub off_k: f64,
    /// Its standard error, K.
    pub error_k: f64,
}

/// What it comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lesson {
    /// Garden less forecast on an overcast or windy night, K, and its doubt (one standard deviation).
    pub cloudy_k: [f64; 2],
    /// On a clear calm night.
    pub clear_k: [f64; 2],
    /// Typical error of a night beyond that, K, before any reading and now.
    pub error_k: [f64; 2],
    /// How far readings lay from the forecast, and from the forecast with what was known before them, K.
    pub rmse_k: Option<[f64; 2]>,
}

/// What a garden's nights teach, seen from `now`.
pub fn learnt(garden: &Garden, of: &GardenLessons, now: Moment) -> Learnt {
    let mut lessons = Lessons::none(&prior(&garden.site));
    let mut nights = Vec::new();
    for n in &of.nights {
        let night = &n.night;
        let said = lessons.outlook(night.day, night.clear, night.sigma_k);
        let rank = said.as_ref().map(|s| s.chance_below(night.error_k));
        nights.push(LearnedNight {
            date: n.date,
            error_k: night.error_k,
            expected_k: said.map(|s| [0.1, 0.5, 0.9].map(|p| s.quantile_k(p))),
            unlikely: rank.is_some_and(|r| r.min(1.0 - r) < 0.5 * UNLIKELY),
        });
        lessons.read(night);
    }
    let today = evening::learned::day_number(now);
    let stated = sigma_air_k(LEAD_H);
    let at = |clear| lessons.outlook(today, clear, stated);
    let lesson = at(0.0).zip(at(clearness(Some(0.0), Some(0.0)))).map(|(cloudy, clear)| Lesson {
        cloudy_k: [cloudy.mean_k(), cloudy.doubt_k()],
        clear_k: [clear.mean_k(), clear.doubt_k()],
        error_k: [stated, cloudy.error_k()],
        rmse_k: rmse(&nights),
    });
    let covers = of.covers.iter().filter_map(|(name, nights)| {
        let l = CoverLesson::from_nights(nights, today)?;
        let error_k = l.variance_k2.sqrt();
        Some(LearnedCover { sheet: name.clone(), nights: l.nights, off_k: l.off_k, error_k })
    });
    Learnt {
        nights,
        forgotten_until: of.teaching.after,
        frozen_since: of.teaching.until,
        lesson,
        covers: covers.collect(),
    }
}

/// Of the nights that something was expected of, slips left out of both.
fn rmse(nights: &[LearnedNight]) -> Option<[f64; 2]> {
    let sound = nights.iter().filter(|n| !n.unlikely);
    let pairs: Vec<[f64; 2]> =
        sound.filter_map(|n| Some([n.error_k, n.error_k - n.expected_k?[1]])).collect();
    let root =
        |i: usize| (pairs.iter().map(|p| p[i] * p[i]).sum::<f64>() / pairs.len() as f64).sqrt();
    (pairs.len() >= FEWEST_NIGHTS).then(|| [root(0), root(1)])
}

/// It in sentences, for terminal and page.
pub fn sentences(learnt: &Learnt, words: &GardenFormat) -> Vec<String> {
    let n = learnt.nights.len();
    let degree = words.degree();
    let amount = |k: f64| format!("{} {degree}", words.difference(k.abs()));
    let side = |k: f64| if k < 0.0 { "colder" } else { "warmer" };
    let mut out = Vec::new();
    match &learnt.lesson {
        None => out.push(format!(
            "{} so far: too few to learn from. Note the lowest of the night from a thermometer in the open; {FEWEST_NIGHTS} nights are the least.",
            count(n, "night")
        )),
        Some(l) => {
            let [k, doubt] = l.cloudy_k;
            out.push(format!(
                "From {}: this garden runs {} {} than its forecast, give or take {}.",
                count(n, "night"),
                amount(k),
                side(k),
                amount(doubt)
            ));
            let [k, doubt] = l.clear_k;
            out.push(format!(
                "On clear calm nights it runs {} {}, give or take {}.",
                amount(k),
                side(k),
                amount(doubt)
            ));
            let [before, now] = l.error_k;
            out.push(format!(
                "Beyond that a night comes out {} off, as a rule; before any reading it would have been {}.",
                amount(now),
                amount(before)
            ));
            if let Some([before, after]) = l.rmse_k {
                out.push(format!(
                    "Readings lay {} from the bare forecast, and {} from the forecast with what was known before each of them.",
                    amount(before),
                    amount(after)
                ));
            }
        }
    }
    for LearnedCover { sheet, nights, off_k, error_k } in &learnt.covers {
        let more = if *off_k < 0.0 { "less" } else { "more" };
        out.push(format!(
            "Under “{sheet}”, {}: it gains {} {more} than the plan would have said, give or take {}.",
            count(*nights, "night"),
            amount(*off_k),
            amount(*error_k)
        ));
    }
    let unlikely: Vec<String> = learnt
        .nights
        .iter()
        .filter(|n| n.unlikely)
        .map(|n| n.date.strftime("%-d %b %Y").to_string())
        .collect();
    if !unlikely.is_empty() {
        out.push(format!(
            "Unlikely: {}. Was the sign or the unit wrong? Undo such a note; as it stands, it weighs little.",
            unlikely.join(", ")
        ));
    }
    if let Some(at) = learnt.frozen_since {
        out.push(format!("Learning stands still since {}.", words.day(at)));
    }
    if let Some(at) = learnt.forgotten_until {
        out.push(format!("Nights before {} were forgotten.", words.day(at)));
    }
    out
}
