//! One bed's night as SVG: the air outside, the open leaf, what is under the cover with its doubt, the crop's limit.
//!
//! Lines are told apart by their dashes and by words at their ends; colour only helps.

use std::fmt::Write as _;

use evening::report::{BedReport, Report, Spread, TemperatureSeries};

use crate::answers::drawing::{PICTURE, degree_lines, on_page};
use crate::format::{GardenFormat, percent};

/// Drawing units: whole width and height, and the plot within.
const WIDE: f64 = 340.0;
const HIGH: f64 = 150.0;
const LEFT: f64 = 30.0;
const RIGHT: f64 = 262.0;
const TOP: f64 = 8.0;
const BOTTOM: f64 = 130.0;
/// Least distance between two words at the right edge.
const APART: f64 = 13.0;

/// Where a temperature and a moment lie on the drawing.
struct Frame {
    low_c: f64,
    high_c: f64,
    start: i64,
    end: i64,
}

impl Frame {
    fn around(courses: &[&TemperatureSeries], limit_c: Option<f64>) -> Option<Self> {
        let longest = courses.iter().max_by_key(|c| c.half_hours.len())?;
        let n = longest.half_hours.len();
        if n < 2 {
            return None;
        }
        // The last course is the covered one, shown with its band; the others by their middles.
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
        let middle = |i| longest.middle(i).0;
        Some(Self {
            low_c: low_c - 0.5,
            high_c: high_c + 0.5,
            start: middle(0),
            end: middle(n - 1),
        })
    }

    fn x(&self, at: i64) -> f64 {
        LEFT + (RIGHT - LEFT) * (at - self.start) as f64 / (self.end - self.start).max(1) as f64
    }

    fn y(&self, celsius: f64) -> f64 {
        let share = (celsius - self.low_c) / (self.high_c - self.low_c).max(0.1);
        BOTTOM - (BOTTOM - TOP) * share
    }

    /// Every second half-hour, and the last.
    fn points<'a>(
        &'a self,
        c: &'a TemperatureSeries,
        of: impl Fn(&Spread) -> f64 + 'a,
    ) -> Vec<(f64, f64)> {
        let last = c.half_hours.len().saturating_sub(1);
        let shown = c.half_hours.iter().enumerate().filter(|(i, _)| i % 2 == 0 || *i == last);
        shown.map(|(i, s)| (self.x(c.middle(i).0), self.y(of(s)))).collect()
    }
}

/// The drawing, or nothing where there is no course.
pub fn draw(bed: &BedReport, report: &Report, words: &GardenFormat) -> Option<String> {
    let (air, open) = (&report.weather.air_temperatures, &bed.open_temperatures);
    let covered = bed.covered_temperatures.as_ref();
    let mut courses = vec![air, open];
    courses.extend(covered);
    let frame = Frame::around(&courses, bed.limit_c)?;
    let mut out = on_page("night", [WIDE, HIGH], false, PICTURE, &describe(bed, words));
    axes(&mut out, &frame, report, words);
    let mut ends = Vec::new();
    if let Some(c) = covered {
        let mut band = frame.points(c, |s| s.p90);
        band.extend(frame.points(c, |s| s.p10).into_iter().rev());
        let _ = write!(out, "<path class=\"band\" d=\"{}Z\"/>", path(&band));
        let line = frame.points(c, |s| s.p50);
        let _ = write!(out, "<path class=\"covered\" d=\"{}\"/>", path(&line));
        ends.extend(line.last().map(|p| (p.1, "covered")));
    }
    let line = frame.points(open, |s| s.p50);
    let _ = write!(out, "<path class=\"open\" d=\"{}\"/>", path(&line));
    let tissue = if bed.in_soil { "open soil" } else { "open leaf" };
    ends.extend(line.last().map(|p| (p.1, tissue)));
    let line = frame.points(air, |s| s.p50);
    let _ = write!(out, "<path class=\"air\" d=\"{}\"/>", path(&line));
    ends.extend(line.last().map(|p| (p.1, "air outside")));
    if let Some(limit) = bed.limit_c {
        let y = frame.y(limit);
        let _ = write!(out, "<path class=\"limit\" d=\"M{LEFT:.0} {y:.0}H{RIGHT:.0}\"/>");
        ends.push((y, "limit"));
    }
    labels(&mut out, ends);
    out.push_str("</svg>");
    Some(out)
}

fn path(points: &[(f64, f64)]) -> String {
    let mut d = String::new();
    for (i, (x, y)) in points.iter().enumerate() {
        let _ = write!(d, "{}{x:.0} {y:.0}", if i == 0 { 'M' } else { 'L' });
    }
    d
}

/// Hours below, degrees at the left.
fn axes(out: &mut String, frame: &Frame, report: &Report, words: &GardenFormat) {
    let _ = write!(out, "<text x=\"2\" y=\"{:.0}\">{}</text>", HIGH - 5.0, words.degree());
    degree_lines(out, words, [frame.low_c, frame.high_c], [LEFT, RIGHT], |c| frame.y(c));
    let mut at = frame.start - frame.start.rem_euclid(3600) + 3600;
    while at <= frame.end {
        let moment = quantities::Moment(at);
        if words.hour(moment) % 3 == 0 {
            let x = frame.x(at);
            let _ = write!(
                out,
                "<path class=\"grid\" d=\"M{x:.0} {TOP:.0}V{BOTTOM:.0}\"/><text x=\"{x:.0}\" y=\"{:.0}\" text-anchor=\"middle\">{}</text>",
                HIGH - 5.0,
                words.clock_hour(moment)
            );
        }
        at += 3600;
    }
    let rise = report.sun.sunrise.0;
    if (frame.start..=frame.end).contains(&rise) {
        let x = frame.x(rise);
        let _ = write!(out, "<path class=\"rise\" d=\"M{x:.0} {TOP:.0}V{BOTTOM:.0}\"/>");
    }
}

/// Words at the right edge, pushed apart.
fn labels(out: &mut String, mut ends: Vec<(f64, &str)>) {
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut last = TOP - APART;
    let over = ends.len() as f64 * APART;
    for (i, (y, word)) in ends.iter().enumerate() {
        let most = BOTTOM - over + APART * (i as f64 + 1.0);
        let at = y.min(most).max(last + APART);
        last = at;
        let _ = write!(out, "<text x=\"{:.0}\" y=\"{:.0}\">{word}</text>", RIGHT + 5.0, at + 4.0);
    }
}

/// The same in words, for those who hear the page.
fn describe(bed: &BedReport, words: &GardenFormat) -> String {
    let what = if bed.in_soil { "soil" } else { "leaf" };
    let mut text = format!(
        "Night of {}: coldest {what} open {} {}, harm {}",
        bed.bed,
        words.spread(&bed.open.leaf_low_c),
        words.degree(),
        percent(bed.open.chance_of_harm)
    );
    if let Some(o) = bed.chosen.and_then(|c| bed.options.get(c)) {
        let _ = write!(
            text,
            "; covered {}, harm {}",
            words.spread(&o.outcome.leaf_low_c),
            percent(o.outcome.chance_of_harm)
        );
    }
    if let Some(limit) = bed.limit_c {
        let _ = write!(text, "; limit {}", words.bare(limit));
    }
    text
}
