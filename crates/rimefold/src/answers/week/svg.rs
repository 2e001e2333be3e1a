//! The nights ahead as SVG: per bed and night what lies, the chance of harm with it and left open, what stays on by day.

use std::fmt::Write as _;

use evening::lies::Lies;
use evening::week::report::{BedNight, BedWeek, WeekReport};

use super::{Key, in_100};
use crate::answers::drawing::{PICTURE, escape, on_page};
use crate::format::GardenFormat;

/// Drawing units.
const A_NIGHT: f64 = 46.0;
/// Height of a bed: its name, and below it its nights.
const A_BED: f64 = 44.0;
const A_NAME: f64 = 17.0;
const HEAD: f64 = 67.0;
/// Width of a night's box; the rest of its column is the day.
const BOX: f64 = 38.0;
const BAR: f64 = 20.0;

/// The drawing; letters as in the key.
pub fn draw(report: &WeekReport, key: &Key, words: &GardenFormat) -> String {
    let nights = report.nights.len() as f64;
    let size = [A_NIGHT * nights.max(4.0), HEAD + A_BED * report.beds.len() as f64];
    let label = "What lies on each bed night by night, with the chance to lose a tenth or more; the table says the same";
    let mut out = on_page("night week", size, true, PICTURE, label);
    let dates = words.narrow_dates(report.nights.iter().map(|n| n.sunset));
    for (i, (night, [weekday, day, month])) in report.nights.iter().zip(&dates).enumerate() {
        let x = A_NIGHT * i as f64;
        let low = words.bare(night.garden_low_c.p50);
        // The month by itself: beside its day it would run into the next night's.
        for (line, text) in [month, weekday, day, &format!("{low}°")].iter().enumerate() {
            let _ = write!(out, "<text x=\"{x:.0}\" y=\"{}\">{text}</text>", 13 + 15 * line);
        }
    }
    for (row, bed) in report.beds.iter().enumerate() {
        let y = HEAD + A_BED * row as f64;
        let _ = write!(out, "<text x=\"0\" y=\"{:.0}\">{}</text>", y + 13.0, escape(&bed.bed));
        let y = y + A_NAME;
        for (i, night) in bed.nights.iter().enumerate() {
            cell(&mut out, bed, night, key, [A_NIGHT * i as f64, y]);
            let last = i + 1 == bed.nights.len();
            if !last {
                day(&mut out, night, [A_NIGHT * i as f64 + BOX, y + 0.5 * BAR]);
            }
        }
    }
    out.push_str("</svg>");
    out
}

/// A night's box: its outline as wide as the chance left open, filled as wide as that with what lies, the letter on it.
fn cell(out: &mut String, bed: &BedWeek, night: &BedNight, key: &Key, [x, y]: [f64; 2]) {
    if !bed.at_risk {
        return;
    }
    let wide = |chance: f64| BOX * chance.clamp(0.0, 1.0);
    let _ = write!(
        out,
        "<path class=\"grid\" d=\"M{x:.1} {y:.1}h{BOX}v{BAR}h-{BOX}z\"/><path class=\"limit\" d=\"M{:.1} {y:.1}v{BAR}\"/>\
         <path class=\"band\" d=\"M{x:.1} {y:.1}h{:.1}v{BAR}h-{:.1}z\"/>",
        x + wide(night.chance_open),
        wide(night.chance),
        wide(night.chance),
    );
    let letter = match (key.letter(bed, night.night), night.night) {
        (Some(letter), Lies::Shut(_)) => format!("{letter} {}", in_100(night.chance)),
        _ => in_100(night.chance_open).to_string(),
    };
    let _ = write!(out, "<text x=\"{:.1}\" y=\"{:.1}\">{letter}</text>", x + 3.0, y + 15.0);
}

/// The day between two nights: a thick line where the cover stays shut, a thin one where it is aside or its ends are open.
fn day(out: &mut String, night: &BedNight, [x, y]: [f64; 2]) {
    let class = match night.day {
        Lies::Open => return,
        Lies::Shut(_) => "covered",
        Lies::EndsOpen(_) | Lies::HalfOff(_) => "grid",
    };
    let _ = write!(out, "<path class=\"{class}\" d=\"M{x:.1} {y:.1}h{:.1}\"/>", A_NIGHT - BOX);
}
