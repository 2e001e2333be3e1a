//! Frost dates of a station as SVG: the season between the last frost of spring and the first of autumn, for frosts of
//! several depths, with eight years in ten around each date.

use std::fmt::Write as _;

use weather::StationRecord;
use weather::frost::{Dates, FrostDates, Method};

use crate::answers::drawing::on_page;
use crate::format::GardenFormat;

/// Drawing units, a pixel of a phone each.
const LEFT: f64 = 52.0;
const A_DAY: f64 = 0.76;
const ROW: f64 = 40.0;
const TOP: f64 = 26.0;
const DAYS: f64 = 365.0;

/// The drawing, its months from the first of the season on. Thresholds are air temperatures at the station, °C.
pub fn draw(
    record: &StationRecord,
    thresholds_c: &[f64],
    (latitude_deg, new_year): (f64, u16),
    words: &GardenFormat,
) -> String {
    let first = f64::from(new_year);
    let wide = LEFT + A_DAY * DAYS + 8.0;
    let high = TOP + ROW * thresholds_c.len() as f64 + 6.0;
    let all: Vec<(f64, FrostDates)> = thresholds_c
        .iter()
        .map(|t| (*t, FrostDates::from_record(record, *t, latitude_deg)))
        .collect();
    let said: Vec<String> = all.iter().map(|(t, f)| told(*t, f, words)).collect();
    let label = format!("Frost dates. {}", said.join(". "));
    let attributes = "role=\"img\" fill=\"none\" stroke=\"currentColor\"";
    let mut out = on_page("bars", [wide, high], false, attributes, &label);
    months(&mut out, first, high);
    for (i, (threshold, frost)) in all.iter().enumerate() {
        let y = TOP + ROW * i as f64 + 0.5 * ROW;
        let _ = write!(
            out,
            "<text x=\"{:.0}\" y=\"{:.0}\" text-anchor=\"end\">{}</text>",
            LEFT - 6.0,
            y + 4.0,
            words.temperature(*threshold)
        );
        mark(&mut out, &frost.last_spring, first, y);
        mark(&mut out, &frost.first_autumn, first, y);
    }
    out.push_str("</svg>");
    out
}

fn x(day_of_year: f64, first: f64) -> f64 {
    LEFT + A_DAY * (day_of_year - first).rem_euclid(DAYS)
}

/// A line at the start of each month; every second is named.
fn months(out: &mut String, first: f64, high: f64) {
    let starts = [1, 32, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335];
    let names =
        ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    for (i, (start, name)) in starts.iter().zip(names).enumerate() {
        let at = x(f64::from(*start), first);
        let name = if i % 2 == 0 { name } else { "" };
        let _ = write!(
            out,
            "<path d=\"M{at:.0} 18V{high:.0}\" stroke-width=\".5\" stroke-opacity=\".4\"/><text x=\"{:.0}\" y=\"13\">{name}</text>",
            at + 3.0
        );
    }
}

/// One event: a bar over eight years in ten, a stroke at half, its date beside it.
fn mark(out: &mut String, dates: &Dates, first: f64, y: f64) {
    let at =
        |p: f64| dates.conditional(p, Method::Empirical).map(|d| x(dates.day_of_year(d), first));
    let (Some(early), Some(half), Some(late)) = (at(0.1), at(0.5), at(0.9)) else { return };
    if early <= late {
        let _ = write!(
            out,
            "<path d=\"M{early:.0} {y:.0}H{late:.0}\" stroke-width=\"6\" stroke-opacity=\".35\"/>"
        );
    }
    let _ = write!(
        out,
        "<path d=\"M{half:.0} {:.0}v16\" stroke-width=\"3\"/><text x=\"{half:.0}\" y=\"{:.0}\" text-anchor=\"middle\">{}</text>",
        y - 8.0,
        y + 19.0,
        date(dates, 0.5).unwrap_or_default()
    );
}

fn date(dates: &Dates, p: f64) -> Option<String> {
    let (month, day) = dates.month_day(dates.conditional(p, Method::Empirical)?);
    let date = jiff::civil::Date::new(2001, month, day).ok()?;
    Some(date.strftime("%-d %b").to_string())
}

/// The same in words.
fn told(threshold_c: f64, frost: &FrostDates, words: &GardenFormat) -> String {
    let of = |d: &Dates, what: &str| match (date(d, 0.1), date(d, 0.5), date(d, 0.9)) {
        (Some(a), Some(b), Some(c)) => format!("{what} {b} ({a} to {c})"),
        _ => format!("{what} not known"),
    };
    format!(
        "{}: {}, {}",
        words.temperature(threshold_c),
        of(&frost.last_spring, "last of spring"),
        of(&frost.first_autumn, "first of autumn")
    )
}
