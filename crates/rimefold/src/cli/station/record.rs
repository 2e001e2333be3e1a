//! What a station record is, in words: its years, its gaps, its frost dates, and those of the garden.

use garden::Garden;
use jiff::civil::Date;
use serde_json::{Value, json};
use weather::StationRecord;
use weather::frost::{Dates, FrostDates, Method, Standing};

use crate::format::{Words, count};
use crate::outside::terminal;
use crate::paper::Paper;

/// Chance of the late and the early date: one year in ten.
const ONE_IN_TEN: f64 = 0.1;

/// Frost dates of the station and, where the cold-spot offset is known, as if the garden were so much colder.
struct Frost {
    station: FrostDates,
    garden: Option<(f64, FrostDates)>,
}

impl Frost {
    fn of(record: &StationRecord, garden: &Garden) -> Self {
        let latitude = record.station.latitude_deg.unwrap_or(garden.place.latitude_deg);
        let at = |threshold_c: f64| FrostDates::from_record(record, threshold_c, latitude);
        // The garden is at 0 °C when the station is at 0 °C minus the offset.
        let garden = garden.site.cold_spot_offset_k.map(|k| (k, at(-k)));
        Self { station: at(0.0), garden }
    }
}

/// For people, in lines no wider than the terminal.
pub fn as_text(record: &StationRecord, garden: &Garden) -> String {
    let words = Words::new(garden.units, &garden.zone);
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
    let frost = Frost::of(record, garden);
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
    let mut paper = Paper::new(terminal::width());
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

/// For programs.
pub fn as_json(record: &StationRecord, garden: &Garden) -> Value {
    let frost = Frost::of(record, garden);
    let (s, t) = (&record.station, &record.tally);
    json!({
        "layout": 1,
        "station": {
            "id": s.id, "name": s.name, "latitude_deg": s.latitude_deg,
            "longitude_deg": s.longitude_deg, "elevation_m": s.elevation_m,
        },
        "first_day": record.first().to_string(),
        "last_day": record.last().to_string(),
        "days": record.days().count(),
        "days_without_minimum": t.without_min,
        "longest_gap_days": t.longest_gap,
        "notices": record.notices.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "frost_at_station": frost_json(&frost.station),
        "cold_spot_offset_k": frost.garden.as_ref().map(|g| g.0),
        "frost_in_garden_on_clear_calm_nights": frost.garden.as_ref().map(|g| frost_json(&g.1)),
    })
}

fn frost_json(frost: &FrostDates) -> Value {
    let one = |dates: &Dates, late: bool| {
        let shown = |d: Option<f64>| {
            d.map(|d| {
                let (month, day) = dates.month_day(d);
                format!("{month:02}-{day:02}")
            })
        };
        let of = |p: f64| shown(dates.conditional(p, Method::Empirical));
        let all = |p: f64| shown(dates.day_of_chance(p, Method::Empirical));
        json!({
            "years_counted": dates.counted(),
            "share_of_years": dates.share(),
            "of_years_that_freeze": {
                "half": of(0.5), "one_in_ten": of(if late { 1.0 - ONE_IN_TEN } else { ONE_IN_TEN }),
            },
            "of_all_years": { "half": all(0.5), "one_in_ten": all(ONE_IN_TEN) },
        })
    };
    json!({ "last_spring": one(&frost.last_spring, true), "first_autumn": one(&frost.first_autumn, false) })
}
