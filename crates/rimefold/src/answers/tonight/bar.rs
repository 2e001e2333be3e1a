//! One bed's cold on the scale that all beds of the night share: a ring open, a dot covered, a dotted stroke at the limit.

use std::fmt::Write as _;

use evening::report::{BedReport, Report, Task};

use crate::format::GardenFormat;

/// Room at both sides for the numbers, in hundredths of the width.
const MARGIN: f64 = 12.0;

/// The scale of every bar of a night, °C.
pub struct Scale {
    low_c: f64,
    high_c: f64,
}

impl Scale {
    /// From the coldest to the warmest of what is shown of the beds that are worked on.
    pub fn of(report: &Report) -> Self {
        let beds = || report.work.iter().map(|t: &Task| &report.beds[t.bed]);
        let all = || beds().flat_map(shown).flatten();
        let low_c = all().fold(f64::INFINITY, f64::min);
        let high_c = all().fold(f64::NEG_INFINITY, f64::max);
        Self { low_c, high_c: high_c.max(low_c + 1.0) }
    }

    fn x(&self, celsius: f64) -> f64 {
        MARGIN + (100.0 - 2.0 * MARGIN) * (celsius - self.low_c) / (self.high_c - self.low_c)
    }

    /// The bar of a bed; nothing where nothing is laid.
    pub fn draw(&self, bed: &BedReport, words: &GardenFormat) -> Option<String> {
        let [open, covered, limit] = shown(bed);
        let (open, covered) = (open?, covered?);
        let (from, to) = (self.x(open), self.x(covered));
        let (left, right) = (from.min(to), from.max(to));
        let limit_words = limit.map_or_else(String::new, |l| format!(", limit {}", words.bare(l)));
        let mut out = format!(
            "<svg class=\"bar\" role=\"img\" aria-label=\"coldest {}: open {}, covered {}{limit_words} {}\">",
            if bed.in_soil { "soil" } else { "leaf" },
            words.bare(open),
            words.bare(covered),
            words.degree()
        );
        let _ = write!(
            out,
            "<line class=\"gain\" x1=\"{from:.1}%\" x2=\"{to:.1}%\" y1=\"9\" y2=\"9\"/>"
        );
        if let Some(limit) = limit {
            let at = self.x(limit);
            let _ = write!(
                out,
                "<line class=\"limit\" x1=\"{at:.1}%\" x2=\"{at:.1}%\" y1=\"0\" y2=\"18\"/>"
            );
        }
        let (a, b) = if open <= covered { (open, covered) } else { (covered, open) };
        let _ = write!(
            out,
            "<circle class=\"ring\" cx=\"{from:.1}%\"/><circle class=\"dot\" cx=\"{to:.1}%\"/>\
             <text x=\"{left:.1}%\" dx=\"-9\" y=\"14\">{}</text><text x=\"{right:.1}%\" dx=\"9\" y=\"14\">{}</text></svg>",
            words.bare(a),
            words.bare(b)
        );
        Some(out)
    }
}

/// The coldest tissue of a bed open and covered, and its limit, °C.
fn shown(bed: &BedReport) -> [Option<f64>; 3] {
    let covered = bed.chosen.and_then(|c| bed.options.get(c));
    let covered = covered.map(|o| o.outcome.leaf_low_c.p50);
    [Some(bed.open.leaf_low_c.p50), covered, bed.limit_c]
}
