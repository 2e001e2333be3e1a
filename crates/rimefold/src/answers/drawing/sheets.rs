//! The sheets of the stock to one scale, as they would lie on the floor: length across, width down.

use std::fmt::Write as _;

use garden::Garden;

use crate::answers::drawing::hatch::{self, Hatch};
use crate::answers::drawing::{PICTURE, escape, on_page};
use crate::format::GardenFormat;

/// Drawing units, a pixel of a phone each.
const WIDEST: f64 = 300.0;
const GAP: f64 = 26.0;

/// The drawing; `None` where there is no sheet.
pub fn draw(garden: &Garden, words: &GardenFormat) -> Option<String> {
    let sheets = &garden.stock.sheets;
    let longest = sheets.iter().map(|s| s.length_m).reduce(f64::max)?;
    let scale = WIDEST / longest;
    let high = |width_m: f64| (scale * width_m).max(6.0);
    let whole: f64 = sheets.iter().map(|s| high(s.width_m) + GAP).sum();
    let wide = WIDEST + 4.0;
    let names: Vec<String> = sheets.iter().map(|s| format!("{} {}", s.count, s.name)).collect();
    let label = format!("Sheets to one scale: {}", names.join(", "));
    let mut out = on_page("plan", [wide, whole], true, PICTURE, &label);
    let used: Vec<Hatch> = sheets.iter().map(|s| Hatch::of_sheet(s.kind)).collect();
    hatch::define(&mut out, "stock", &used);
    let mut top = 18.0;
    for s in sheets {
        let frame = format!(
            "x=\"2\" y=\"{top:.0}\" width=\"{:.0}\" height=\"{:.0}\"",
            scale * s.length_m,
            high(s.width_m)
        );
        let _ = write!(
            out,
            "<text x=\"2\" y=\"{:.0}\">{} × {}: {} by {}</text><rect class=\"bed\" {frame}/><rect {frame} fill=\"{}\"/>",
            top - 5.0,
            s.count,
            escape(&s.name),
            words.short(s.width_m),
            words.long(s.length_m),
            Hatch::of_sheet(s.kind).fill("stock")
        );
        top += high(s.width_m) + GAP;
    }
    out.push_str("</svg>");
    Some(out)
}
