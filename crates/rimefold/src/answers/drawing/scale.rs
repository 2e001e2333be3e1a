//! A plot's frame: where a value and a moment lie on the drawing, lines across at round values, hours along.

use std::fmt::Write as _;

use quantities::Moment;

use crate::format::GardenFormat;

/// A frame on the drawing, with the values at its edges.
pub struct Plot {
    /// Left and right edge.
    pub sides: [f64; 2],
    /// Upper and lower edge.
    pub ends: [f64; 2],
    /// What stands at the left and at the right edge.
    pub along: [f64; 2],
    /// Least and greatest value.
    pub values: [f64; 2],
}

impl Plot {
    /// Where something stands along.
    pub fn x(&self, at: f64) -> f64 {
        let [left, right] = self.sides;
        left + (right - left) * (at - self.along[0]) / (self.along[1] - self.along[0]).max(1e-9)
    }

    /// How high a value stands; beyond the edges at the edge.
    pub fn y(&self, value: f64) -> f64 {
        let ([top, bottom], [low, high]) = (self.ends, self.values);
        bottom - (bottom - top) * (value.clamp(low, high) - low) / (high - low).max(0.1)
    }

    /// Lines across at some values, each with its number at the left edge.
    pub fn lines_across(&self, out: &mut String, values: impl IntoIterator<Item = (f64, String)>) {
        let [left, right] = self.sides;
        for (value, shown) in values {
            let at = self.y(value);
            let _ = write!(
                out,
                "<path class=\"grid\" d=\"M{left:.0} {at:.0}H{right:.0}\"/><text x=\"{:.0}\" y=\"{:.0}\" text-anchor=\"end\">{shown}</text>",
                left - 4.0,
                at + 4.0
            );
        }
    }

    /// Lines across at round temperatures.
    pub fn degrees(&self, out: &mut String, words: &GardenFormat) {
        self.lines_across(out, words.round_degrees(self.values[0], self.values[1]));
    }

    /// Lines down at every third local hour, the hour written at `y` where there is one; the frame's length is in seconds.
    pub fn hours(&self, out: &mut String, words: &GardenFormat, y: Option<f64>) {
        let [top, bottom] = self.ends;
        let mut at = (self.along[0] as i64).div_euclid(3600) * 3600 + 3600;
        while at as f64 <= self.along[1] {
            let moment = Moment(at);
            if words.hour(moment) % 3 == 0 {
                let x = self.x(at as f64);
                let _ = write!(out, "<path class=\"grid\" d=\"M{x:.0} {top:.0}V{bottom:.0}\"/>");
                if let Some(y) = y {
                    let hour = words.clock_hour(moment);
                    let _ = write!(
                        out,
                        "<text x=\"{x:.0}\" y=\"{y:.0}\" text-anchor=\"middle\">{hour}</text>"
                    );
                }
            }
            at += 3600;
        }
    }
}

/// A line through points.
pub fn path(points: &[(f64, f64)]) -> String {
    let mut d = String::new();
    for (i, (x, y)) in points.iter().enumerate() {
        let _ = write!(d, "{}{x:.0} {y:.0}", if i == 0 { 'M' } else { 'L' });
    }
    d
}

/// Words at the right edge of a frame, each at its height and pushed apart by `apart`.
pub fn end_labels(out: &mut String, plot: &Plot, apart: f64, mut ends: Vec<(f64, &str)>) {
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let [top, bottom] = plot.ends;
    let mut last = top - apart;
    let over = ends.len() as f64 * apart;
    for (i, (y, word)) in ends.iter().enumerate() {
        let most = bottom - over + apart * (i as f64 + 1.0);
        let at = y.min(most).max(last + apart);
        last = at;
        let x = plot.sides[1] + 5.0;
        let _ = write!(out, "<text x=\"{x:.0}\" y=\"{:.0}\">{word}</text>", at + 4.0);
    }
}
