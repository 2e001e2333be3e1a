//! What drawings share: letters that are safe, lines at round degrees; the garden from above, the sheets to one scale.

pub mod plan;
pub mod sheets;

use std::fmt::Write as _;

use crate::format::Words;

/// Text that is safe inside SVG.
pub fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// Lines across a chart at round temperatures, each with its number at the left edge. `y` gives the height of a temperature.
pub fn degree_lines(
    out: &mut String,
    words: &Words,
    [low_c, high_c]: [f64; 2],
    [left, right]: [f64; 2],
    y: impl Fn(f64) -> f64,
) {
    for (celsius, shown) in words.round_degrees(low_c, high_c) {
        let at = y(celsius);
        let _ = write!(
            out,
            "<path class=\"grid\" d=\"M{left:.0} {at:.0}H{right:.0}\"/><text x=\"{:.0}\" y=\"{:.0}\" text-anchor=\"end\">{shown}</text>",
            left - 4.0,
            at + 4.0
        );
    }
}
