//! What a station record is, in words: its years, its gaps, its frost dates, and those of the garden.

use garden::Garden;
use jiff::civil::Date;
use weather::StationRecord;
use weather::frost::{Dates, FrostDates, Method, Standing};

use super::{Frost, ONE_IN_TEN};
use crate::format::{GardenFormat, count};
use crate::paragraphs::Paragraphs;

/// The whole answer.
pub fn write(record: &StationRecord, garden: &Garden, width: usize) -> String {
    let words = GardenFormat::new(garden.units, &garden.zone);
    let tally = &record.tally;
    let days = record.days().count();
    let mut out = vec![format!(
        "{}: {} to {}, {}. Minimum missing on {} ({:.1} %), longest gap {}.",
        name(record),
        record.first(),
        record.last(),
        count(days, "day"),
        count(tally.without_min, "day"),
        100.0 * tally.without_min as f64 / days.max(1) as f64,
        count(tally.longest_gap, "day")
    )];
    out.extend(record.notices.iter().map(|notice| format!("  {notice}")));
    let frost = Frost::new(record, garden);
    out.push(format!("\nFrost ({} or colder) at the station:", words.temperature(0.0)));
    out.extend(dates(&frost.station));
    match &frost.garden {
        Some((offset, own)) => {
            let side = if *offset < 0.0 { "colder" } else { "warmer" };
            out.push(format!(
                "\nIn the garden, {} {} {side} on clear calm nights:",
                words.difference(offset.abs()),
                words.degree()
            ));
            out.extend(dates(own));
            out.push("That difference holds on clear calm nights only, and was measured against the forecast, not against this station: a frost of a windy or cloudy night comes to the garden as to the station.".into());
        }
        None => out.push("The garden's cold-spot offset is not known: a hollow freezes later in spring and earlier in autumn than this.".into()),
    }
    let mut paper = Paragraphs::new(width);
    for line in out {
        // A line that begins with a break has an empty one before it; leading spaces are kept.
        let body = line.trim_start_matches('\n');
        if body.len() < line.len() {
            paper.blank();
        }
        let text = body.trim_start_matches(' ');
        paper.say(&" ".repeat(body.len() - text.len()), 4, text);
    }
    paper.finish()
}

fn name(record: &StationRecord) -> String {
    let s = &record.station;
    let both: Vec<&str> = [&s.name, &s.id].into_iter().flatten().map(String::as_str).collect();
    if both.is_empty() { "Record".into() } else { both.join(", ") }
}

fn dates(frost: &FrostDates) -> Vec<String> {
    let mut out = event("last of spring", "or later", &frost.last_spring, 1.0 - ONE_IN_TEN);
    out.extend(event("first of autumn", "or earlier", &frost.first_autumn, ONE_IN_TEN));
    out
}

/// One event: how far the years carry, then the two ways to ask, told apart where some years never freeze.
fn event(what: &str, side: &str, dates: &Dates, extreme: f64) -> Vec<String> {
    let few = if dates.standing() < Standing::Standard { ", few for this" } else { "" };
    let counted = format!("{}{few}", count(dates.counted(), "counted year"));
    let share = match dates.share() {
        Some(share) if dates.standing() > Standing::None => share,
        _ => return vec![format!("  {what}: nothing can be said, {counted}.")],
    };
    if share == 0.0 {
        return vec![format!("  {what}: none, {counted}.")];
    }
    let shown = |d: Option<f64>| d.map_or_else(|| "no day".into(), |d| day_words(dates, d));
    let of_those = |p: f64| shown(dates.conditional(p, Method::Empirical));
    let of_all = |p: f64| shown(dates.day_of_chance(p, Method::Empirical));
    let say = |half: String, one: String| {
        format!("{half} in half the years, {one} {side} in one year in ten")
    };
    let conditional = say(of_those(0.5), of_those(extreme));
    if share == 1.0 {
        return vec![format!("  {what}: {conditional} ({counted}; every one froze).")];
    }
    vec![
        format!(
            "  {what}, in the {:.0} % of years that freeze at all: {conditional} ({counted}).",
            100.0 * share
        ),
        format!("  {what}, all years counted: {}.", say(of_all(0.5), of_all(ONE_IN_TEN))),
    ]
}

/// `27 April`.
fn day_words(dates: &Dates, season_day: f64) -> String {
    let (month, day) = dates.month_day(season_day);
    Date::new(2001, month, day).map_or_else(|_| "?".into(), |d| d.strftime("%-d %B").to_string())
}
