//! The year as SVG: a strip a bed, months across, bars told apart by hatch and word, dates as marks with words that never collide.
//!
//! One strip serves a phone as well as the drawing of the whole garden; months in which no bed has anything are left out at both
//! ends.

use std::fmt::Write as _;
use std::ops::Range;

use history::year::dates::{DAYS, half_months};
use history::year::{BedYear, COVER_KINDS, CoverKind};

use super::{Answer, word};
use crate::answers::drawing::hatch::{self, Hatch};
use crate::answers::drawing::{PICTURE, escape, in_file, on_page};

/// Heights of the months, of a bar and of a line of dates.
const MONTHS: f64 = 18.0;
const BAR: f64 = 18.0;
const LINE: f64 = 17.0;
/// Width of a letter, about, and the least gap between two words.
const LETTER: f64 = 7.4;
const GAP: f64 = 8.0;
/// Width of a strip on a page, a pixel of a phone each; sides and letters of the whole drawing.
const PAGE_WIDE: f64 = 330.0;
const FILE_SIDES: [f64; 2] = [170.0, 1050.0];
const SIZE: &str = "font-size=\"13\" fill=\"currentColor\" stroke=\"none\"";

/// Where the days of a strip stand.
struct Strip {
    left: f64,
    right: f64,
    days: Range<usize>,
}

impl Strip {
    fn x(&self, day: usize) -> f64 {
        let along = (day as f64 - self.days.start as f64) / self.days.len().max(1) as f64;
        self.left + (self.right - self.left) * along
    }
}

/// A strip for each bed, with the bed's name, for a page.
pub fn strips(a: &Answer) -> Vec<(String, String)> {
    let strip = Strip { left: 2.0, right: PAGE_WIDE - 2.0, days: shown_days(a) };
    let one = |(i, b): (usize, &BedYear)| {
        let drawing = format!("year-{i}");
        let mut body = String::new();
        let high = bed(&mut body, a, b, &strip, (0.0, &drawing));
        let name = a.garden.beds[b.bed].name.clone();
        let label = format!("{name}: {}", described(a, b));
        let attributes = format!("{PICTURE} {SIZE}");
        let mut out = on_page("strip", [PAGE_WIDE, high], false, &attributes, &label);
        hatch::define(&mut out, &drawing, &hatches(b));
        (name, out + &body + "</svg>")
    };
    a.year.beds.iter().enumerate().map(one).collect()
}

/// The hatches in one drawing, as a key for a page.
pub fn key() -> String {
    let mut out = on_page("strip", [PAGE_WIDE, 44.0], false, SIZE, "What the hatches mean");
    hatch::define(&mut out, "key", &COVER_KINDS.map(hatch));
    legend(&mut out, "key", 165.0, 2);
    out + "</svg>"
}

/// The drawing of the whole garden. Black on nothing, so that it prints and takes the colour of a page.
pub fn draw(a: &Answer) -> String {
    let [left, right] = FILE_SIDES;
    let strip = Strip { left, right, days: shown_days(a) };
    let title =
        format!("{}: the year from {}, harm risked in {}", a.garden.name, a.span(), a.risk());
    let mut body = String::new();
    text(&mut body, [4.0, 18.0], &title);
    let mut top = 30.0;
    for b in &a.year.beds {
        text(&mut body, [4.0, top + MONTHS + 14.0], &a.garden.beds[b.bed].name);
        top += bed(&mut body, a, b, &strip, (top, "year")) + 12.0;
    }
    let _ = write!(body, "<g transform=\"translate(0 {top:.0})\">");
    legend(&mut body, "year", 165.0, COVER_KINDS.len());
    body.push_str("</g>");
    text(&mut body, [4.0, top + 42.0], "Dates: covered = with the best cover in stock");
    let mut out = in_file([0.0, 0.0, right + 20.0, top + 54.0], SIZE, &title);
    hatch::define(&mut out, "year", &COVER_KINDS.map(hatch));
    out + &body + "</svg>\n"
}

/// The days from the first month in which a bed has something to the last.
fn shown_days(a: &Answer) -> Range<usize> {
    let of = |b: &BedYear| {
        let bars = b.cover_periods.iter().flat_map(|c| [c.days.start, c.days.end]);
        bars.chain(marks(b).into_iter().map(|m| m.0)).collect::<Vec<_>>()
    };
    let all: Vec<usize> = a.year.beds.iter().flat_map(of).collect();
    let (Some(first), Some(last)) = (all.iter().min(), all.iter().max()) else { return 0..DAYS };
    let starts = month_starts(a);
    let from = starts.iter().copied().filter(|s| s <= first).max().unwrap_or(0);
    let to = starts.iter().copied().filter(|s| s > last).min().unwrap_or(DAYS);
    from..to
}

fn month_starts(a: &Answer) -> Vec<usize> {
    half_months(a.new_year).iter().step_by(2).map(|h| h.start).collect()
}

fn hatch(what: CoverKind) -> Hatch {
    match what {
        CoverKind::Cloth => Hatch::Cloth,
        CoverKind::WinterCloth => Hatch::WinterCloth,
        CoverKind::Net => Hatch::Net,
        CoverKind::Shade => Hatch::Shade,
    }
}

fn hatches(b: &BedYear) -> Vec<Hatch> {
    b.cover_periods.iter().map(|c| hatch(c.what)).collect()
}

fn text(out: &mut String, [x, y]: [f64; 2], words: &str) {
    let _ = writeln!(out, "<text x=\"{x:.0}\" y=\"{y:.0}\">{}</text>", escape(words));
}

fn width(words: &str) -> f64 {
    LETTER * words.chars().count() as f64
}

/// One bed from `top` down; the height it takes.
fn bed(
    out: &mut String,
    a: &Answer,
    b: &BedYear,
    strip: &Strip,
    (top, drawing): (f64, &str),
) -> f64 {
    let lane = |what| match what {
        CoverKind::Cloth | CoverKind::WinterCloth => 0,
        CoverKind::Net => 1,
        CoverKind::Shade => 2,
    };
    let lanes = b.cover_periods.iter().map(|c| lane(c.what) + 1).max().unwrap_or(0);
    let below = top + MONTHS + lanes as f64 * (BAR + 3.0);
    let mut dates = String::new();
    let lines = marks_in_lines(&mut dates, a, b, strip, below);
    let bottom = below + lines as f64 * LINE + 4.0;
    months(out, a, strip, [top, bottom]);
    for c in &b.cover_periods {
        bar(
            out,
            strip,
            &c.days,
            top + MONTHS + lane(c.what) as f64 * (BAR + 3.0),
            (c.what, drawing),
        );
    }
    out.push_str(&dates);
    bottom - top
}

/// A line down at the start of each month, and its name where there is room.
fn months(out: &mut String, a: &Answer, strip: &Strip, [top, bottom]: [f64; 2]) {
    let (mut free, mut lines) = (strip.left, String::new());
    for start in month_starts(a).into_iter().filter(|s| strip.days.contains(s)) {
        let at = strip.x(start);
        let _ = write!(lines, "M{at:.0} {top:.0}V{bottom:.0}");
        let name = a.date(start, 2001).strftime("%b").to_string();
        if at >= free && at + width(&name) <= strip.right {
            text(out, [at + 3.0, top + 13.0], &name);
            free = at + width(&name) + GAP;
        }
    }
    let _ = writeln!(
        out,
        "<path d=\"{lines}\" stroke=\"currentColor\" stroke-width=\".6\" stroke-opacity=\".5\"/>"
    );
}

/// The dates of a bed: day and words.
fn marks(b: &BedYear) -> Vec<(usize, &'static str)> {
    let mut marks = Vec::new();
    for p in &b.plantings {
        let open = p.spring.as_ref().ok().and_then(|s| s.first());
        let end = p.autumn.as_ref().ok().and_then(|s| s.first());
        let out = p.best_spring().map(|s| s.1);
        marks.extend(open.and_then(|s| Some((s.day?, "out"))));
        marks.extend(out.and_then(|s| Some((s.day?, "out, covered"))));
        marks.extend(out.or(open).and_then(|s| Some((s.first_picking?, "first picking"))));
        marks.extend(end.and_then(|s| Some((s.day?, "last"))));
        marks.extend(p.best_autumn().and_then(|s| Some((s.1.day?, "last, covered"))));
    }
    marks.sort_unstable();
    marks
}

fn told(a: &Answer, (day, words): (usize, &str)) -> String {
    format!("{words} {}", a.date(day, 2001).strftime("%-d %b"))
}

/// The marks and their words, each on the first line where it meets no other; how many lines they take.
fn marks_in_lines(out: &mut String, a: &Answer, b: &BedYear, strip: &Strip, top: f64) -> usize {
    let mut ends: Vec<f64> = Vec::new();
    for mark in marks(b) {
        let (at, words) = (strip.x(mark.0), told(a, mark));
        let wide = width(&words);
        let right = at + 7.0 + wide <= strip.right;
        let from = if right { at + 7.0 } else { (at - 7.0 - wide).max(strip.left) };
        let (begin, end) = if right { (at - 5.0, from + wide) } else { (from, at + 5.0) };
        let free = ends.iter().position(|last| last + GAP <= begin);
        let line = free.unwrap_or_else(|| {
            ends.push(0.0);
            ends.len() - 1
        });
        ends[line] = end;
        let y = top + LINE * (line as f64 + 1.0) - 3.0;
        let _ = writeln!(out, "<path d=\"M{at:.1} {:.1}l4 8h-8z\"/>", y - 9.0);
        text(out, [from, y], &words);
    }
    ends.len()
}

fn bar(
    out: &mut String,
    strip: &Strip,
    days: &Range<usize>,
    top: f64,
    (what, drawing): (CoverKind, &str),
) {
    let (from, to) = (strip.x(days.start), strip.x(days.end));
    let _ = writeln!(
        out,
        "<rect x=\"{from:.1}\" y=\"{top:.1}\" width=\"{:.1}\" height=\"{BAR}\" fill=\"{}\" \
         stroke=\"currentColor\"><title>{}</title></rect>",
        to - from,
        hatch(what).fill(drawing),
        word(what)
    );
}

/// The hatches with their words, so many in a line.
fn legend(out: &mut String, drawing: &str, apart: f64, in_a_line: usize) {
    for (i, what) in COVER_KINDS.into_iter().enumerate() {
        let (at, y) = (2.0 + apart * (i % in_a_line) as f64, 22.0 * (i / in_a_line) as f64 + 2.0);
        let _ = writeln!(
            out,
            "<rect x=\"{at:.1}\" y=\"{y:.1}\" width=\"36\" height=\"{BAR}\" fill=\"{}\" stroke=\"currentColor\"/>",
            hatch(what).fill(drawing)
        );
        text(out, [at + 44.0, y + 14.0], word(what));
    }
}

/// A bed's year in words, for those who hear the page.
fn described(a: &Answer, b: &BedYear) -> String {
    let bars = b.cover_periods.iter().map(|c| {
        format!("{} {} to {}", word(c.what), a.day(c.days.start), a.day(c.days.end % DAYS))
    });
    let dates = marks(b).into_iter().map(|m| told(a, m));
    bars.chain(dates).collect::<Vec<_>>().join("; ")
}
