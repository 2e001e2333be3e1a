//! One bed's night as SVG: the air outside, the open leaf, what is under the cover with its doubt, the crop's limit.
//!
//! Lines are told apart by their dashes and by words at their ends; colour only helps.

use std::fmt::Write as _;

use evening::report::{BedReport, Report, Spread, TemperatureSeries};

use crate::answers::drawing::scale::{Plot, end_labels, path};
use crate::answers::drawing::{PICTURE, on_page};
use crate::format::{GardenFormat, percent};

/// Drawing units: whole width and height, and the plot within.
const WIDE: f64 = 340.0;
const HIGH: f64 = 150.0;
const LEFT: f64 = 30.0;
const RIGHT: f64 = 262.0;
const TOP: f64 = 8.0;
const BOTTOM: f64 = 130.0;
/// Least distance between two words at the right edge.
const APART: f64 = 14.0;

/// The frame around every course and the limit; the last course is the covered one, shown with its band, the others by their
/// middles.
fn frame(courses: &[&TemperatureSeries], limit_c: Option<f64>) -> Option<Plot> {
    let longest = courses.iter().max_by_key(|c| c.half_hours.len())?;
    let n = longest.half_hours.len();
    if n < 2 {
        return None;
    }
    let (mut low_c, mut high_c) = (f64::INFINITY, f64::NEG_INFINITY);
    for (i, course) in courses.iter().enumerate() {
        for s in &course.half_hours {
            let (low, high) = if i == 2 { (s.p10, s.p90) } else { (s.p50, s.p50) };
            (low_c, high_c) = (low_c.min(low), high_c.max(high));
        }
    }
    if let Some(limit) = limit_c {
        (low_c, high_c) = (low_c.min(limit), high_c.max(limit));
    }
    Some(Plot {
        sides: [LEFT, RIGHT],
        ends: [TOP, BOTTOM],
        along: [longest.middle(0).0 as f64, longest.middle(n - 1).0 as f64],
        values: [low_c - 0.5, high_c + 0.5],
    })
}

/// Every second half-hour, and the last.
fn points(plot: &Plot, c: &TemperatureSeries, of: impl Fn(&Spread) -> f64) -> Vec<(f64, f64)> {
    let last = c.half_hours.len().saturating_sub(1);
    let shown = c.half_hours.iter().enumerate().filter(|(i, _)| i % 2 == 0 || *i == last);
    shown.map(|(i, s)| (plot.x(c.middle(i).0 as f64), plot.y(of(s)))).collect()
}

/// The drawing, or nothing where there is no course.
pub fn draw(bed: &BedReport, report: &Report, words: &GardenFormat) -> Option<String> {
    let (air, open) = (&report.weather.air_temperatures, &bed.open_temperatures);
    let covered = bed.covered_temperatures.as_ref();
    let mut courses = vec![air, open];
    courses.extend(covered);
    let frame = frame(&courses, bed.limit_c)?;
    let mut out = on_page("night", [WIDE, HIGH], false, PICTURE, &describe(bed, words));
    axes(&mut out, &frame, report, words);
    let mut ends = Vec::new();
    if let Some(c) = covered {
        let mut band = points(&frame, c, |s| s.p90);
        band.extend(points(&frame, c, |s| s.p10).into_iter().rev());
        let _ = write!(out, "<path class=\"band\" d=\"{}Z\"/>", path(&band));
        let line = points(&frame, c, |s| s.p50);
        let _ = write!(out, "<path class=\"covered\" d=\"{}\"/>", path(&line));
        ends.extend(line.last().map(|p| (p.1, "covered")));
    }
    let line = points(&frame, open, |s| s.p50);
    let _ = write!(out, "<path class=\"open\" d=\"{}\"/>", path(&line));
    let tissue = if bed.in_soil { "open soil" } else { "open leaf" };
    ends.extend(line.last().map(|p| (p.1, tissue)));
    let line = points(&frame, air, |s| s.p50);
    let _ = write!(out, "<path class=\"air\" d=\"{}\"/>", path(&line));
    ends.extend(line.last().map(|p| (p.1, "air outside")));
    if let Some(limit) = bed.limit_c {
        let y = frame.y(limit);
        let _ = write!(out, "<path class=\"limit\" d=\"M{LEFT:.0} {y:.0}H{RIGHT:.0}\"/>");
        ends.push((y, "limit"));
    }
    end_labels(&mut out, &frame, APART, ends);
    out.push_str("</svg>");
    Some(out)
}

/// Hours below, degrees at the left, sunrise.
fn axes(out: &mut String, frame: &Plot, report: &Report, words: &GardenFormat) {
    let _ = write!(out, "<text x=\"2\" y=\"{:.0}\">{}</text>", HIGH - 5.0, words.degree());
    frame.degrees(out, words);
    frame.hours(out, words, Some(HIGH - 5.0));
    let rise = report.sun.sunrise.0 as f64;
    if (frame.along[0]..=frame.along[1]).contains(&rise) {
        let x = frame.x(rise);
        let _ = write!(out, "<path class=\"rise\" d=\"M{x:.0} {TOP:.0}V{BOTTOM:.0}\"/>");
    }
}

/// The same in words, for those who hear the page.
fn describe(bed: &BedReport, words: &GardenFormat) -> String {
    let what = if bed.in_soil { "soil" } else { "leaf" };
    let mut text = format!(
        "Night of {}: coldest {what} open {} {}, chance to lose a tenth or more {}",
        bed.bed,
        words.spread(&bed.open.leaf_low_c),
        words.degree(),
        percent(bed.open.chance_of_harm)
    );
    if let Some(o) = bed.chosen.and_then(|c| bed.options.get(c)) {
        let _ = write!(
            text,
            "; covered {}, chance {}",
            words.spread(&o.outcome.leaf_low_c),
            percent(o.outcome.chance_of_harm)
        );
    }
    if let Some(limit) = bed.limit_c {
        let _ = write!(text, "; limit {}", words.bare(limit));
    }
    text
}
