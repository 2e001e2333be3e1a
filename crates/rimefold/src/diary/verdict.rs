//! How well it was said, in plain words.

use ::diary::skill::{Compared, ENOUGH, Mean, Score, Skill, Why};
use garden::Garden;
use jiff::civil::Date;
use quantities::UnitSystem;

use crate::diary::describe;
use crate::format::{GardenFormat, count};

fn day(night: Date) -> String {
    night.strftime("%a %-d %b %Y").to_string()
}

/// One line a night, in the order of nights.
pub fn nights(skill: &Skill, w: &GardenFormat) -> Vec<String> {
    skill.nights.iter().map(|c| line(c, w)).collect()
}

/// What it comes to, in whole sentences.
pub fn verdicts(skill: &Skill, garden: &Garden, w: &GardenFormat) -> Vec<String> {
    let mut out = Vec::new();
    match skill.all {
        Some(all) => out.push(verdict(&all, w)),
        None => out.push("No reading can be compared with a plan yet.".into()),
    }
    if let (Some(open), Some(under)) = (skill.open, skill.under) {
        out.push(format!("In the open: {}", numbers(&open, w)));
        out.push(format!("Under covers: {}", numbers(&under, w)));
    }
    if let Some(mean) = skill.offset {
        out.push(against_forecast(&mean, w, "In the open, this garden's nights"));
    }
    if let Some(mean) = skill.offset_clear_calm {
        out.push(against_forecast(&mean, w, "On nights expected clear and calm they"));
    }
    out.extend(suggestion(skill, garden, w));
    let old = skill.nights.iter().filter(|c| c.model != evening::MODEL).count();
    if old > 0 {
        let readings = count(old, "reading");
        out.push(format!("Of these, {readings} had a plan of another model than today's."));
    }
    out.extend(left_out(skill));
    out
}

/// `Fri 14 May 2027, broccoli, open: said 28.0 (25.1 to 31.0), read 29.1 °F, 1.1 warmer`
fn line(c: &Compared, w: &GardenFormat) -> String {
    let said = &c.said_c;
    let error = c.error_k();
    let side = if error < 0.0 { "colder" } else { "warmer" };
    let outside = if c.inside() { "" } else { " (outside what was said)" };
    format!(
        "{}, {}: said {} ({} to {}), read {} {}: {} {side}{outside}",
        day(c.night),
        describe::place(&c.place),
        describe::tenth(w, said.p50),
        describe::tenth(w, said.p10),
        describe::tenth(w, said.p90),
        describe::tenth(w, c.read_c),
        w.degree(),
        w.difference(error.abs())
    )
}

fn numbers(s: &Score, w: &GardenFormat) -> String {
    let side = if s.bias_k < 0.0 { "colder" } else { "warmer" };
    format!(
        "on average {} {} {side} than said, typically {} {} off, {} of {} within the band that should hold 8 in 10 \
         ({:.0} %).",
        w.difference(s.bias_k.abs()),
        w.degree(),
        w.difference(s.rmse_k),
        w.degree(),
        (s.inside * s.readings as f64).round(),
        s.readings,
        100.0 * s.inside
    )
}

fn verdict(s: &Score, w: &GardenFormat) -> String {
    let over = format!("{} over {}", count(s.readings, "reading"), count(s.nights, "night"));
    if s.nights < ENOUGH {
        return format!(
            "{over}: too few to say how good the plans are; {ENOUGH} nights are the least. So far {}",
            numbers(s, w)
        );
    }
    format!("{over}: {}", numbers(s, w))
}

fn against_forecast(m: &Mean, w: &GardenFormat, who: &str) -> String {
    let side = if m.mean_k < 0.0 { "colder" } else { "warmer" };
    let doubt = match m.standard_error_k {
        Some(se) => format!(", give or take {}", w.difference(2.0 * se)),
        None => String::new(),
    };
    let verdict = if m.nights < ENOUGH {
        "too few nights to conclude"
    } else if m.stands() {
        "that is more than chance"
    } else {
        "that may be chance"
    };
    format!(
        "{who} ran {} {} {side} than the forecast's low{doubt}, over {}: {verdict}.",
        w.difference(m.mean_k.abs()),
        w.degree(),
        count(m.nights, "night")
    )
}

fn suggestion(skill: &Skill, garden: &Garden, w: &GardenFormat) -> Option<String> {
    let s = skill.suggestion?;
    let us = w.units == UnitSystem::Us;
    let (key, factor) = if us { ("cold_spot_offset_f", 1.8) } else { ("cold_spot_offset_c", 1.0) };
    let half = |k: f64| (k * factor * 2.0).round() / 2.0;
    let value = half(s.offset_k);
    if garden.site.cold_spot_offset_k.map(half) == Some(value) {
        return Some(format!("The garden file says so already: {key} = {value}."));
    }
    if value == 0.0 && garden.site.cold_spot_offset_k.is_none() {
        return None;
    }
    let basis = if s.clear_calm {
        "It rests on the clear calm nights, as it should."
    } else {
        "It rests on all nights, for want of enough clear calm ones, on which it may be more."
    };
    Some(format!("Write under [site] in garden.toml: {key} = {value}. {basis}"))
}

fn left_out(skill: &Skill) -> impl Iterator<Item = String> {
    let reasons = [
        (Why::NoPlan, "no plan was kept for the night before it"),
        (
            Why::NightNotOver,
            "read between 6 in the evening and 4 in the morning, before the night was over",
        ),
        (Why::NotSaid, "the plan says nothing of that bed under that cover"),
        (Why::NotLowest, "another reading of that night and place was lower"),
    ];
    reasons.into_iter().filter_map(|(why, words)| {
        let n = skill.left_out.iter().filter(|l| l.why == why).count();
        (n > 0).then(|| format!("Left out: {} ({words}).", count(n, "reading")))
    })
}
