//! The cut list as SVG: every roll to scale along its length, every piece named.

use std::fmt::Write as _;

use purchase::cut_list::CutList;

use crate::answers::drawing::hatch::{self, Hatch};
use crate::answers::drawing::{escape, in_file};
use crate::format::GardenFormat;

/// Width of the drawing.
const WIDTH: f64 = 960.0;
/// Height of a coil of wire, and of a roll of cloth for each metre of its width.
const WIRE: f64 = 26.0;
const CLOTH_A_METRE: f64 = 36.0;
/// Widest edge of a piece that shows its hatch.
const EDGE: f64 = 10.0;

/// The drawing; rolls one under the other.
pub fn draw(list: &CutList, words: &GardenFormat) -> String {
    let mut body = String::new();
    let used: Vec<Hatch> = list.cloths.iter().map(|c| Hatch::of_sheet(c.kind)).collect();
    hatch::define(&mut body, "cut", &used);
    let mut y = 30.0;
    for cut in &list.rods {
        let longest = cut.rolls.iter().map(|r| r.length_m).fold(0.1, f64::max);
        for (i, roll) in cut.layout.rolls.iter().enumerate() {
            let Some(kind) = cut.rolls.get(roll.roll) else { continue };
            let scale = WIDTH / longest;
            head(
                &mut body,
                y,
                &format!("{}: {} {}", words.rod(cut.material, cut.section), kind.name, i + 1),
            );
            frame(&mut body, [0.0, y + 8.0, kind.length_m * scale, WIRE]);
            for piece in &roll.pieces {
                let name = cut.demands.get(piece.demand).map_or("", |d| d.name.as_str());
                let at = [piece.from_m * scale, y + 8.0, piece.length_m * scale, WIRE];
                rect(&mut body, at, &words.short(piece.length_m), name, None);
            }
            y += WIRE + 44.0;
        }
    }
    for cut in &list.cloths {
        let longest = cut.rolls.iter().map(|r| r.length_m).fold(0.1, f64::max);
        for (i, roll) in cut.layout.rolls.iter().enumerate() {
            let Some(kind) = cut.rolls.get(roll.roll) else { continue };
            let scale = WIDTH / longest;
            let high = CLOTH_A_METRE * kind.width_m;
            head(&mut body, y, &format!("{}: {} {}", words.cloth(cut.kind), kind.name, i + 1));
            frame(&mut body, [0.0, y + 8.0, kind.length_m * scale, high]);
            for place in roll.strips.iter().flat_map(|s| &s.places) {
                let name = cut.demands.get(place.demand).map_or("", |d| d.name.as_str());
                let at = [
                    place.along_from_m * scale,
                    y + 8.0 + place.across_from_m * CLOTH_A_METRE,
                    place.along_m * scale,
                    place.across_m * CLOTH_A_METRE,
                ];
                let size =
                    format!("{} × {}", words.short(place.across_m), words.long(place.along_m));
                rect(&mut body, at, &size, name, Some(Hatch::of_sheet(cut.kind)));
            }
            y += high + 44.0;
        }
    }
    let style = "font-size=\"13\" fill=\"none\" stroke=\"currentColor\"";
    in_file([-10.0, 0.0, WIDTH + 20.0, y], style, "Cut list") + &body + "</svg>\n"
}

fn head(out: &mut String, y: f64, text: &str) {
    let _ = writeln!(
        out,
        "<text x=\"0\" y=\"{y:.0}\" fill=\"currentColor\" stroke=\"none\" font-weight=\"bold\">{}</text>",
        escape(text)
    );
}

fn frame(out: &mut String, [x, y, w, h]: [f64; 4]) {
    let _ = writeln!(
        out,
        "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{w:.1}\" height=\"{h:.1}\" stroke-dasharray=\"5 4\"/>"
    );
}

/// A piece with as many of its words as fit; all of them are its title. Cloth has its hatch along its edge.
fn rect(out: &mut String, [x, y, w, h]: [f64; 4], size: &str, name: &str, cloth: Option<Hatch>) {
    let all = format!("{size} {name}");
    let _ = write!(
        out,
        "<g><title>{}</title><rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{w:.1}\" height=\"{h:.1}\"/>",
        escape(&all)
    );
    if let Some(cloth) = cloth {
        let _ = write!(
            out,
            "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{w:.1}\" height=\"{:.1}\" fill=\"{}\"/>",
            (0.25 * h).min(EDGE),
            cloth.fill("cut")
        );
    }
    let fits = ((w - 6.0) / 6.9).max(0.0) as usize;
    let width = size.split(" × ").next().unwrap_or(size);
    if let Some(shown) = [all.as_str(), size, width].into_iter().find(|t| t.chars().count() <= fits)
    {
        let _ = write!(
            out,
            "<text x=\"{:.1}\" y=\"{:.1}\" fill=\"currentColor\" stroke=\"none\">{}</text>",
            x + 3.0,
            y + 0.5 * h + 4.0,
            escape(shown)
        );
    }
    out.push_str("</g>\n");
}
