//! The year as events of a calendar.

use history::year::chores::{Chore, ChoreKind};
use history::year::winter::Verdict;
use history::year::{BedYear, CoverKind, PlantingYear};

use super::{Answer, word};
use crate::answers::calendar::{Event, When};

/// Every date of the season that is named after `season`.
pub fn of_season(a: &Answer, season: i16) -> Vec<Event> {
    let mut out = Vec::new();
    let mut put = |key: &str, days: (usize, usize), summary: String, description: String| {
        let uid = format!("{}-{key}-{season}", a.garden.name);
        let plain = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
        out.push(Event {
            // A bed keeps its place in the file; letters beyond ASCII would all fall on one dash.
            uid: format!("{}@rimefold.invalid", uid.chars().map(plain).collect::<String>()),
            when: When::Days { first: a.date(days.0, season), last: a.date(days.1, season) },
            summary,
            description,
        });
    };
    for b in &a.year.beds {
        for p in &b.plantings {
            planting(a, b, p, &mut put);
        }
        for c in &b.cover_periods {
            let key = format!("{}-{}-{}", b.bed, word(c.what), c.days.start);
            let lacks = if c.have { "" } else { " (none in stock fits)" };
            let bed = &a.garden.beds[b.bed].name;
            put(
                &key,
                (c.days.start, c.days.end - 1),
                format!("{bed}: {}{lacks}", word(c.what)),
                String::new(),
            );
        }
    }
    for c in &a.year.chores {
        chore(c, &mut put);
    }
    out
}

type Put<'a> = &'a mut dyn FnMut(&str, (usize, usize), String, String);

fn planting(a: &Answer, b: &BedYear, p: &PlantingYear, put: Put) {
    let name = a.name(b.bed, p.planting);
    let key = |what: &str| format!("{}-{}-{what}", b.bed, p.planting);
    let under = |c: usize| b.covers.get(c).map_or(String::new(), |c| super::text::cover(a, c));
    let advice = format!("Advice, not a promise: harm in {} of {}.", a.risk(), a.span());
    if let Some(day) = p.spring.as_ref().ok().and_then(|s| s.first()).and_then(|s| s.day) {
        put(&key("out"), (day, day), format!("{name}: may go out open"), advice.clone());
    }
    if let Some((cover, row)) = p.best_spring()
        && let Some(day) = row.day
    {
        let words = format!("{name}: may go out with {}", under(cover));
        put(&key("out-covered"), (day, day), words, advice.clone());
    }
    let median = "Median of the record; half of the years end before.".to_owned();
    if let Some(day) = p.autumn.as_ref().ok().and_then(|s| s.first()).and_then(|s| s.day) {
        put(&key("last"), (day, day), format!("{name}: last picking, open"), median.clone());
    }
    if let Some((cover, row)) = p.best_autumn()
        && let Some(day) = row.day
    {
        put(
            &key("last-covered"),
            (day, day),
            format!("{name}: last picking with {}", under(cover)),
            median,
        );
    }
    if let Ok(w) = &p.winter
        && let Verdict::Under(cover) = w.verdict
        && let Some(c) = b.cover_periods.iter().rfind(|c| c.what == CoverKind::WinterCloth)
    {
        let words = format!("{name}: cover for the winter with {}", under(cover));
        put(&key("winter"), (c.days.start, c.days.start), words, advice);
    }
}

fn chore(c: &Chore, put: Put) {
    let last = c.days.end - 1;
    match c.what {
        ChoreKind::Snow => put(
            &format!("snow-{}", c.days.start),
            (c.days.start, last),
            "Snow on covered hoops: look every day, brush it off".into(),
            String::new(),
        ),
        ChoreKind::Voles => {
            for day in c.days.clone().step_by(7) {
                let words = "Look for voles under the winter covers".to_owned();
                put(&format!("voles-{day}"), (day, day), words, String::new());
            }
        }
        ChoreKind::StoredCloth => {
            for day in c.days.clone().step_by(30) {
                let words = "Look at the stored cloth: dry, whole, no mice".to_owned();
                put(&format!("stored-{day}"), (day, day), words, String::new());
            }
        }
    }
}
