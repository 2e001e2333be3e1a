//! The garden against its forecast, night by night, as SVG: what was expected from the nights before, and what was read.

use std::fmt::Write as _;

use quantities::UnitSystem;

use crate::answers::drawing::scale::Plot;
use crate::answers::drawing::{PICTURE, on_page};
use crate::answers::learn::Learnt;
use crate::format::GardenFormat;

/// Drawing units.
const LEFT: f64 = 34.0;
const WIDE: f64 = 640.0;
const HIGH: f64 = 190.0;
const TOP: f64 = 12.0;
const BOTTOM: f64 = 156.0;
/// Nights shown at most.
const MOST: usize = 60;

/// The drawing of the last nights; `None` where there are none.
pub fn draw(learnt: &Learnt, words: &GardenFormat) -> Option<String> {
    let from = learnt.nights.len().saturating_sub(MOST);
    let nights = &learnt.nights[from..];
    let all = || nights.iter().flat_map(|n| n.expected_k.into_iter().flatten().chain([n.error_k]));
    let low = all().fold(0.0_f64, f64::min).max(-20.0) - 0.5;
    let high = all().fold(0.0_f64, f64::max).min(20.0) + 0.5;
    let (first, last) = nights.first().zip(nights.last())?;
    let plot = Plot {
        sides: [LEFT, WIDE - 10.0],
        ends: [TOP, BOTTOM],
        along: [0.0, nights.len().max(8) as f64],
        values: [low, high],
    };
    let y = |k: f64| plot.y(k);
    let label = format!(
        "{} nights of this garden against its forecast: bars are what was expected from the nights before, marks what was read",
        nights.len()
    );
    let mut out = on_page("night ahead", [WIDE, HIGH], true, PICTURE, &label);
    let per_kelvin = if words.units == UnitSystem::Us { 1.8 } else { 1.0 };
    let step = if (high - low) * per_kelvin > 12.0 { 5.0 } else { 2.0 };
    let shown = |n: i64| {
        let mark = step * n as f64;
        (mark / per_kelvin, if n == 0 { "0".to_owned() } else { format!("{mark:+.0}") })
    };
    let edge = |k: f64| k * per_kelvin / step;
    plot.lines_across(&mut out, (edge(low).ceil() as i64..=edge(high) as i64).map(shown));
    for (i, n) in nights.iter().enumerate() {
        let x = plot.x(i as f64 + 0.5);
        if let Some([p10, p50, p90]) = n.expected_k {
            let _ = write!(
                out,
                "<path class=\"said\" d=\"M{x:.1} {:.1}V{:.1}M{:.1} {:.1}h6\"/>",
                y(p90),
                y(p10),
                x - 3.0,
                y(p50)
            );
        }
        let at = y(n.error_k);
        let _ = if n.unlikely {
            write!(
                out,
                "<path class=\"missed\" d=\"M{:.1} {:.1}l8 8m0-8l-8 8\"/>",
                x - 4.0,
                at - 4.0
            )
        } else {
            write!(out, "<circle class=\"read\" cx=\"{x:.1}\" cy=\"{at:.1}\" r=\"3\"/>")
        };
    }
    let day = |d: jiff::civil::Date| d.strftime("%-d %b %Y").to_string();
    let _ = write!(
        out,
        "<text x=\"{LEFT:.0}\" y=\"{:.0}\">{}</text><text x=\"{:.0}\" y=\"{:.0}\" text-anchor=\"end\">{}</text></svg>",
        HIGH - 12.0,
        day(first.date),
        WIDE - 4.0,
        HIGH - 12.0,
        day(last.date)
    );
    Some(out)
}
