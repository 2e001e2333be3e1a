//! The lows of the nights ahead as SVG: the middle of each night's low and its doubt, against the frost.

use std::fmt::Write as _;

use evening::week::report::NightAhead;

use crate::answers::drawing::scale::Plot;
use crate::answers::drawing::{PICTURE, on_page};
use crate::format::GardenFormat;

/// Drawing units.
const A_NIGHT: f64 = 41.0;
const LEFT: f64 = 28.0;
const HIGH: f64 = 165.0;
const TOP: f64 = 14.0;
const BOTTOM: f64 = 122.0;

/// The drawing.
pub fn draw(nights: &[NightAhead], words: &GardenFormat) -> String {
    let low = |n: &NightAhead| n.garden_low_c;
    let least = nights.iter().map(|n| low(n).p10).fold(0.0, f64::min) - 1.0;
    let most = nights.iter().map(|n| low(n).p90).fold(0.0, f64::max) + 1.0;
    let wide = LEFT + A_NIGHT * nights.len() as f64 + 6.0;
    let plot = Plot {
        sides: [LEFT, wide - 6.0],
        ends: [TOP, BOTTOM],
        along: [0.0, nights.len() as f64],
        values: [least, most],
    };
    let y = |c: f64| plot.y(c);
    let said: Vec<String> = nights
        .iter()
        .map(|n| format!("{} {}", words.short_date(n.sunset), words.spread(&low(n))))
        .collect();
    let label = format!("Lows at the garden, {}: {}", words.degree(), said.join("; "));
    let mut out = on_page("night ahead", [wide, HIGH], true, PICTURE, &label);
    plot.degrees(&mut out, words);
    let _ = write!(
        out,
        "<path class=\"limit\" d=\"M{LEFT:.0} {:.0}H{:.0}\"/><text x=\"{:.0}\" y=\"{:.0}\">frost</text>",
        y(0.0),
        wide - 6.0,
        LEFT + 2.0,
        y(0.0) - 4.0
    );
    let dates = words.narrow_dates(nights.iter().map(|n| n.sunset));
    for (i, (n, [weekday, day, month])) in nights.iter().zip(&dates).enumerate() {
        let x = plot.x(i as f64 + 0.5);
        let s = low(n);
        let date = format!("{day} {month}");
        let date = date.trim_end();
        let _ = write!(
            out,
            "<path class=\"covered\" d=\"M{x:.0} {:.0}V{:.0}M{:.0} {mid:.0}h12\"/><text x=\"{:.0}\" y=\"{:.0}\">{}</text><text x=\"{x:.0}\" y=\"{:.0}\" text-anchor=\"middle\">{weekday}</text><text x=\"{x:.0}\" y=\"{:.0}\" text-anchor=\"middle\">{date}</text>",
            y(s.p90),
            y(s.p10),
            x - 6.0,
            x + 8.0,
            y(s.p50) + 4.0,
            words.bare(s.p50),
            HIGH - 22.0,
            HIGH - 7.0,
            mid = y(s.p50),
        );
    }
    out.push_str("</svg>");
    out
}
