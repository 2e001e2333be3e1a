//! What was said against what was read, night by night, as SVG: the forecast's low, the band of the garden's, the thermometer's
//! dot.

use diary::skill::Compared;
use std::fmt::Write as _;

use crate::answers::drawing::scale::Plot;
use crate::answers::drawing::{PICTURE, on_page};
use crate::format::GardenFormat;

/// Drawing units.
const A_NIGHT: f64 = 34.0;
const LEFT: f64 = 34.0;
const HIGH: f64 = 170.0;
const TOP: f64 = 12.0;
const BOTTOM: f64 = 136.0;

/// The drawing of some readings in order; `None` where there are none.
pub fn draw(readings: &[Compared], words: &GardenFormat) -> Option<String> {
    let lowest = |c: &Compared| c.said_c.p10.min(c.read_c).min(c.forecast_low_c);
    let highest = |c: &Compared| c.said_c.p90.max(c.read_c).max(c.forecast_low_c);
    let low = readings.iter().map(lowest).reduce(f64::min)? - 1.0;
    let high = readings.iter().map(highest).reduce(f64::max)? + 1.0;
    let wide = LEFT + A_NIGHT * readings.len() as f64 + 10.0;
    let plot = Plot {
        sides: [LEFT, wide - 10.0],
        ends: [TOP, BOTTOM],
        along: [0.0, readings.len() as f64],
        values: [low, high],
    };
    let y = |c: f64| plot.y(c);
    let inside = readings.iter().filter(|c| c.inside()).count();
    let label = format!(
        "{} readings: {inside} inside the band that was said, {} outside",
        readings.len(),
        readings.len() - inside
    );
    let mut out = on_page("night ahead", [wide, HIGH], true, PICTURE, &label);
    plot.degrees(&mut out, words);
    for (i, c) in readings.iter().enumerate() {
        let x = plot.x(i as f64 + 0.5);
        let mark = if c.inside() {
            format!("<circle class=\"read\" cx=\"{x:.0}\" cy=\"{:.0}\" r=\"4\"/>", y(c.read_c))
        } else {
            // A cross for a reading that fell outside.
            format!(
                "<path class=\"missed\" d=\"M{:.0} {:.0}l8 8m0-8l-8 8\"/>",
                x - 4.0,
                y(c.read_c) - 4.0
            )
        };
        let _ = write!(
            out,
            "<path class=\"forecast\" d=\"M{:.0} {:.0}l7 4l-7 4z\"/><path class=\"said\" d=\"M{x:.0} {:.0}V{:.0}M{:.0} {:.0}h10\"/>{mark}<text x=\"{x:.0}\" y=\"{:.0}\" text-anchor=\"middle\">{}</text>",
            x - 15.0,
            y(c.forecast_low_c) - 4.0,
            y(c.said_c.p90),
            y(c.said_c.p10),
            x - 5.0,
            y(c.said_c.p50),
            HIGH - 18.0 + 14.0 * (i % 2) as f64,
            c.night.strftime("%-d %b")
        );
    }
    out.push_str("</svg>");
    Some(out)
}
