//! `rimefold diary skill` as text and as JSON.

use ::diary::entry::Place;
use ::diary::skill::{Compared, ENOUGH, Mean, Score, Skill, Why};
use ::diary::{Diary, utc};
use garden::Garden;
use jiff::tz::TimeZone;
use serde_json::{Value, json};

use crate::cli::Output;
use crate::diary::verdict;
use crate::exit::Failure;
use crate::format::Words;
use crate::outside::terminal;
use crate::paragraphs::Paragraphs;

/// What was said against what was read.
pub fn run(diary: &Diary, garden: &Garden, as_json: bool) -> Result<Output, Failure> {
    let zone = TimeZone::get(&garden.zone).unwrap_or(TimeZone::UTC);
    let skill = diary.skill(&zone)?;
    let text = if as_json { object(&skill) } else { text(&skill, garden) };
    Ok(Output { text, aside: Vec::new() })
}

fn text(skill: &Skill, garden: &Garden) -> String {
    let words = Words::new(garden.units, &garden.zone);
    let mut paper = Paragraphs::new(terminal::width());
    for line in verdict::nights(skill, &words) {
        paper.say("", 2, &line);
    }
    if !skill.nights.is_empty() {
        paper.blank();
    }
    for sentence in verdict::verdicts(skill, garden, &words) {
        paper.say("", 0, &sentence);
    }
    paper.finish()
}

/// The same as JSON: SI units, UTC times.
fn object(skill: &Skill) -> String {
    let score = |s: &Score| json!({"readings": s.readings, "nights": s.nights, "bias_k": s.bias_k, "rmse_k": s.rmse_k, "inside": s.inside});
    let mean = |m: &Mean| {
        json!({
            "nights": m.nights, "mean_k": m.mean_k, "standard_error_k": m.standard_error_k, "stands": m.stands(),
        })
    };
    let left_out = skill.left_out.iter().map(|l| {
        let why = match l.why {
            Why::NightNotOver => "night not over",
            Why::NoPlan => "no plan",
            Why::NotSaid => "not said",
            Why::NotLowest => "not the lowest",
        };
        json!({"night": l.night.to_string(), "id": l.entry, "why": why})
    });
    let value = json!({
        "layout": 1,
        "enough_nights": skill.all.is_some_and(|s| s.nights >= ENOUGH),
        "nights": skill.nights.iter().map(night).collect::<Vec<_>>(),
        "left_out": left_out.collect::<Vec<_>>(),
        "all": skill.all.as_ref().map(score),
        "open": skill.open.as_ref().map(score),
        "under": skill.under.as_ref().map(score),
        "against_forecast": skill.offset.as_ref().map(mean),
        "against_forecast_clear_calm": skill.offset_clear_calm.as_ref().map(mean),
        "suggested_cold_spot_offset_k": skill.suggestion.map(|s| s.offset_k),
        "suggestion_rests_on_clear_calm_nights": skill.suggestion.map(|s| s.clear_calm),
    });
    format!("{value:#}\n")
}

fn night(c: &Compared) -> Value {
    let (place, bed, sheet) = match &c.place {
        Place::Open { bed } => ("open", bed.as_ref(), None),
        Place::Under { bed, sheet } => ("under", Some(bed), sheet.as_ref()),
    };
    json!({
        "night": c.night.to_string(), "id": c.entry, "at": utc::format(c.at), "where": place, "bed": bed, "sheet": sheet,
        "plan": c.plan, "model": c.model,
        "said_c": {"p10": c.said_c.p10, "p50": c.said_c.p50, "p90": c.said_c.p90},
        "read_c": c.read_c, "error_k": c.error_k(), "inside": c.inside(),
        "forecast_low_c": c.forecast_low_c, "clear_calm": c.clear_calm,
    })
}
