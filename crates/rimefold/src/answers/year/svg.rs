//! The year as SVG: a row a bed, months across, bars told apart by pattern and word, dates as marks with words.

use std::fmt::Write as _;
use std::ops::Range;

use history::year::dates::{DAYS, half_months};
use history::year::{BedYear, COVER_KINDS, CoverKind};

use super::{Answer, word};
use crate::answers::drawing::hatch::{self, Hatch};
use crate::answers::drawing::{escape, in_file};

/// Left edge of the first month, width of a day, heights of a row, a bar and the head.
const LEFT: f64 = 170.0;
const A_DAY: f64 = 2.4;
const ROW: f64 = 96.0;
const BAR: f64 = 16.0;
const HEAD: f64 = 60.0;

/// The drawing. Black on nothing, so that it prints and takes the colour of a page.
pub fn draw(a: &Answer) -> String {
    let high = HEAD + ROW * a.year.beds.len() as f64 + 70.0;
    let wide = LEFT + A_DAY * DAYS as f64 + 40.0;
    let title =
        format!("{}: the year from {}, harm risked in {}", a.garden.name, a.span(), a.risk());
    let style = "font-size=\"12\" fill=\"currentColor\" stroke=\"none\"";
    let mut out = in_file([0.0, 0.0, wide, high], style, &title);
    hatch::define(&mut out, "year", &COVER_KINDS.map(hatch));
    text(&mut out, [4.0, 18.0], "start", &title);
    months(&mut out, a, high - 60.0);
    for (i, b) in a.year.beds.iter().enumerate() {
        bed(&mut out, a, b, HEAD + ROW * i as f64);
    }
    legend(&mut out, high - 36.0);
    out.push_str("</svg>\n");
    out
}

fn hatch(what: CoverKind) -> Hatch {
    match what {
        CoverKind::Cloth => Hatch::Cloth,
        CoverKind::WinterCloth => Hatch::WinterCloth,
        CoverKind::Net => Hatch::Net,
        CoverKind::Shade => Hatch::Shade,
    }
}

fn text(out: &mut String, [x, y]: [f64; 2], anchor: &str, words: &str) {
    let _ = writeln!(
        out,
        "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\" stroke=\"none\">{}</text>",
        escape(words)
    );
}

fn x(day: usize) -> f64 {
    LEFT + A_DAY * day as f64
}

fn months(out: &mut String, a: &Answer, bottom: f64) {
    for half in half_months(a.new_year).iter().step_by(2) {
        let at = x(half.start);
        let _ = writeln!(
            out,
            "<path d=\"M{at:.1} 30 V{bottom:.1}\" stroke=\"currentColor\" stroke-width=\"0.5\" stroke-opacity=\"0.4\"/>"
        );
        let name = a.date(half.start, 2001).strftime("%B").to_string();
        text(out, [at + 4.0, 44.0], "start", &name);
    }
}

fn bed(out: &mut String, a: &Answer, b: &BedYear, top: f64) {
    let _ = writeln!(
        out,
        "<path d=\"M0 {top:.1} H{:.1}\" stroke=\"currentColor\" stroke-width=\"0.5\"/>",
        x(DAYS)
    );
    text(out, [4.0, top + 20.0], "start", &a.garden.beds[b.bed].name);
    for c in &b.cover_periods {
        let lane = match c.what {
            CoverKind::Cloth | CoverKind::WinterCloth => 0.0,
            CoverKind::Net => 1.0,
            CoverKind::Shade => 2.0,
        };
        bar(out, &c.days, top + 6.0 + lane * (BAR + 3.0), c.what);
    }
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
    // Two lines of marks in turn, so that near ones do not cross.
    for (i, (day, words)) in marks.iter().enumerate() {
        let y = top + 74.0 + 14.0 * (i % 2) as f64;
        let at = x(*day);
        let _ = writeln!(out, "<path d=\"M{at:.1} {:.1} l4 8 h-8 z\"/>", y - 9.0);
        let late = *day > 290;
        let (at, anchor) = if late { (at - 6.0, "end") } else { (at + 6.0, "start") };
        text(out, [at, y], anchor, &format!("{words} {}", a.date(*day, 2001).strftime("%-d %b")));
    }
}

fn bar(out: &mut String, days: &Range<usize>, top: f64, what: CoverKind) {
    let (from, width) = (x(days.start), A_DAY * days.len() as f64);
    let _ = writeln!(
        out,
        "<rect x=\"{from:.1}\" y=\"{top:.1}\" width=\"{width:.1}\" height=\"{BAR}\" fill=\"{}\" \
         stroke=\"currentColor\"><title>{}</title></rect>",
        hatch(what).fill("year"),
        word(what)
    );
    text(out, [from + 3.0, top + BAR - 4.0], "start", word(what));
}

fn legend(out: &mut String, top: f64) {
    for (i, what) in COVER_KINDS.into_iter().enumerate() {
        let at = 4.0 + 170.0 * i as f64;
        let _ = writeln!(
            out,
            "<rect x=\"{at:.1}\" y=\"{top:.1}\" width=\"40\" height=\"{BAR}\" fill=\"{}\" stroke=\"currentColor\"/>",
            hatch(what).fill("year")
        );
        text(out, [at + 46.0, top + BAR - 4.0], "start", word(what));
    }
    text(out, [690.0, top + BAR - 4.0], "start", "▲ dates: covered = with the best cover in stock");
}
