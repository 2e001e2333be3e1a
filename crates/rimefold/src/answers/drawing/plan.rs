//! The garden from above, to scale: every bed that has a position, north up, each a link to its page.

use std::fmt::Write as _;

use garden::Garden;

use crate::answers::drawing::{escape, on_page};
use crate::format::GardenFormat;

/// Drawing units: greatest width and height of the garden on paper, and the margin.
const WIDEST: f64 = 640.0;
const HIGHEST: f64 = 640.0;
const MARGIN: f64 = 24.0;
/// Smallest letters inside a bed.
const SMALLEST: f64 = 8.0;
/// Room at the right for names beside beds.
const BESIDE: f64 = 120.0;
/// Least width, for the bar of scale and the arrow.
const LEAST: f64 = 260.0;

/// The drawing; `None` where no bed has a position. `mark` gives a word to write under a bed's name.
pub fn draw(
    garden: &Garden,
    words: &GardenFormat,
    mark: &dyn Fn(usize) -> Option<String>,
) -> Option<String> {
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
    let (wide, high) = (
        (scale * across + 2.0 * MARGIN + BESIDE).max(LEAST),
        scale * (north - south) + 2.0 * MARGIN + 34.0,
    );
    let label = "Plan of the garden, north up";
    let mut out = on_page("plan", [wide, high], true, "role=\"group\"", label);
    for (i, x, y) in &placed {
        let bed = &garden.beds[*i];
        let (w, h) = (scale * bed.width_m, scale * bed.length_m);
        let left = MARGIN + scale * (x - west) - 0.5 * w;
        let top = MARGIN + scale * (north - y) - h;
        let word = mark(*i);
        let told = word.as_ref().map_or_else(String::new, |m| format!(", {m}"));
        let _ = write!(
            out,
            "<a href=\"/beds/{}\" aria-label=\"{}{}\"><rect class=\"{}\" x=\"{left:.1}\" y=\"{top:.1}\" width=\"{w:.1}\" height=\"{h:.1}\" rx=\"3\"/>",
            i + 1,
            escape(&bed.name),
            escape(&told),
            if word.is_some() { "bed marked" } else { "bed" }
        );
        name(&mut out, (left + 0.5 * w, top + 0.5 * h), (w, h), &bed.name, word.as_deref());
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

/// A bed's name along its longer side, and its mark beside it.
fn name(out: &mut String, (x, y): (f64, f64), (w, h): (f64, f64), name: &str, mark: Option<&str>) {
    let turn =
        if h > w { format!(" transform=\"rotate(-90 {x:.1} {y:.1})\"") } else { String::new() };
    let text = match mark {
        Some(mark) => format!("{name} · {mark}"),
        None => name.to_owned(),
    };
    let room = w.max(h);
    let letters = text.chars().count() as f64;
    let size = (1.7 * room / letters.max(1.0)).min(0.75 * w.min(h)).min(13.0);
    // Where the name is too long for the bed it stands beside it.
    let (x, anchor, size, turn) = if size < SMALLEST {
        (x + 0.5 * w + 4.0, "start", SMALLEST + 2.0, String::new())
    } else {
        (x, "middle", size, turn)
    };
    let _ = write!(
        out,
        "<text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"{anchor}\" font-size=\"{size:.0}\"{turn}>{}</text>",
        y + 0.35 * size,
        escape(&text)
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
