//! The garden from above, to scale: every bed that has a position, north up, each a link to its page; numbers stand in the beds,
//! names in a key beside the drawing.

use std::fmt::Write as _;

use garden::Garden;

use crate::answers::drawing::hatch::{self, Hatch};
use crate::answers::drawing::{escape, on_page};
use crate::format::GardenFormat;

/// Drawing units, a pixel of a phone each: greatest width and height of the garden on paper, and the margin.
const WIDEST: f64 = 290.0;
const HIGHEST: f64 = 290.0;
const MARGIN: f64 = 12.0;
/// Size of the letters.
const LETTERS: f64 = 13.0;
/// Least width, for the bar of scale and the arrow.
const LEAST: f64 = 220.0;

/// What a bed shows.
pub struct Mark {
    /// Number in it; none where it bears none.
    pub number: Option<usize>,
    /// What is laid over it.
    pub cover: Option<Hatch>,
    /// The same in words.
    pub words: String,
}

/// The drawing; `None` where no bed has a position. `mark` tells what a bed shows.
pub fn draw(garden: &Garden, words: &GardenFormat, mark: &dyn Fn(usize) -> Mark) -> Option<String> {
    let placed: Vec<(usize, f64, f64)> = garden
        .beds
        .iter()
        .enumerate()
        .filter_map(|(i, b)| b.position_m.map(|(east, north)| (i, east, north)))
        .collect();
    let west = edge(&placed, |(i, e, _)| e - 0.5 * garden.beds[*i].width_m, f64::min)?;
    let east = edge(&placed, |(i, e, _)| e + 0.5 * garden.beds[*i].width_m, f64::max)?;
    let south = edge(&placed, |(_, _, n)| *n, f64::min)?;
    let north = edge(&placed, |(i, _, n)| n + garden.beds[*i].length_m, f64::max)?;
    let across = (east - west).max(0.3);
    let scale = (WIDEST / across).min(HIGHEST / (north - south).max(1.0));
    let (wide, high) =
        ((scale * across + 2.0 * MARGIN).max(LEAST), scale * (north - south) + 2.0 * MARGIN + 34.0);
    let marks: Vec<(usize, f64, f64, Mark)> =
        placed.into_iter().map(|(i, x, y)| (i, x, y, mark(i))).collect();
    let label = "Plan of the garden, north up";
    let mut out = on_page("plan", [wide, high], true, "role=\"group\"", label);
    let used: Vec<Hatch> = marks.iter().filter_map(|m| m.3.cover).collect();
    hatch::define(&mut out, "plan", &used);
    for (i, x, y, mark) in &marks {
        let bed = &garden.beds[*i];
        let (w, h) = (scale * bed.width_m, scale * bed.length_m);
        let left = MARGIN + scale * (x - west) - 0.5 * w;
        let top = MARGIN + scale * (north - y) - h;
        let frame = format!("d=\"M{left:.1} {top:.1}h{w:.1}v{h:.1}h-{w:.1}z\"");
        let number = mark.number.map_or_else(String::new, |n| format!("{n} "));
        let told = if mark.words.is_empty() { String::new() } else { format!(", {}", mark.words) };
        let _ = write!(
            out,
            "<a href=\"/beds/{}\" aria-label=\"{number}{}{}\"><path class=\"{}\" {frame}/>",
            i + 1,
            escape(&bed.name),
            escape(&told),
            if mark.cover.is_some() { "bed marked" } else { "bed" }
        );
        if let Some(cover) = mark.cover {
            let _ = write!(out, "<path {frame} fill=\"{}\"/>", cover.fill("plan"));
        }
        if let Some(number) = mark.number {
            self::number(&mut out, (left + 0.5 * w, top + 0.5 * h), number);
        }
        out.push_str("</a>");
    }
    scale_bar(&mut out, scale, high, words);
    let _ = write!(
        out,
        "<path class=\"north\" d=\"M{x:.0} {y:.0}v-22l-5 9m5-9l5 9\"/><text x=\"{:.0}\" y=\"{y:.0}\">north</text>",
        wide - 48.0,
        x = wide - 58.0,
        y = high - 8.0
    );
    out.push_str("</svg>");
    Some(out)
}

fn edge(
    placed: &[(usize, f64, f64)],
    of: impl Fn(&(usize, f64, f64)) -> f64,
    pick: fn(f64, f64) -> f64,
) -> Option<f64> {
    placed.iter().map(of).reduce(pick)
}

/// A number on a disc, so that it stands clear of the hatch.
fn number(out: &mut String, (x, y): (f64, f64), number: usize) {
    let _ = write!(
        out,
        "<circle class=\"disc\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"10\"/><text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{number}</text>",
        y + 0.35 * LETTERS
    );
}

/// A bar of ten feet or three metres.
fn scale_bar(out: &mut String, scale: f64, high: f64, words: &GardenFormat) {
    let metres = words.round_length_m();
    let y = high - 14.0;
    let _ = write!(
        out,
        "<path class=\"north\" d=\"M{MARGIN:.0} {y:.0}v6h{:.1}v-6\"/><text x=\"{:.0}\" y=\"{:.0}\">{}</text>",
        scale * metres,
        MARGIN + scale * metres + 6.0,
        y + 6.0,
        words.long(metres)
    );
}
