//! The cross-section of a low tunnel as SVG: hoop, cloth, ground, and every measure.

use std::fmt::Write as _;

use garden::tunnel::Tunnel;

use crate::answers::drawing::{escape, in_file};
use crate::format::GardenFormat;

/// Drawing units a metre.
const SCALE: f64 = 500.0;

/// The drawing. Black on nothing, so that it prints and takes the colour of a page.
pub fn draw(t: &Tunnel, words: &GardenFormat) -> String {
    let h = &t.hoops;
    let outline = h.arch.outline(96);
    let widest = outline.points().iter().map(|p| p.x_m.abs()).fold(0.5 * t.bed_m.1, f64::max);
    let half = SCALE * (widest + t.skirt_m) + 40.0;
    let (top, bottom) = (SCALE * h.rise_m() + 60.0, SCALE * h.bury_m + 270.0);
    let title = format!("Low tunnel over {}", t.bed);
    let style = "font-size=\"18\" fill=\"none\" stroke=\"currentColor\"";
    let mut out = in_file([-half, -top, 2.0 * half, top + bottom], style, &title);
    let _ = writeln!(out, "<desc>{}</desc>", escape(&describe(t, words)));
    let path = |out: &mut String, points: &[(f64, f64)], style: &str| {
        let mut d = String::new();
        for (i, (x, z)) in points.iter().enumerate() {
            let _ =
                write!(d, "{}{:.1} {:.1}", if i == 0 { "M" } else { " L" }, SCALE * x, -SCALE * z);
        }
        let _ = writeln!(out, "<path d=\"{d}\" {style}/>");
    };
    let hoop: Vec<(f64, f64)> = outline.points().iter().map(|p| (p.x_m, p.z_m)).collect();
    let foot = 0.5 * h.span_m();
    // Ground, bed, hoop with its buried ends, cloth a finger's breadth above it.
    path(&mut out, &[(-half / SCALE, 0.0), (half / SCALE, 0.0)], "stroke-width=\"2\"");
    let b = 0.5 * t.bed_m.1;
    path(
        &mut out,
        &[(-b, 0.0), (-b, -0.03), (b, -0.03), (b, 0.0)],
        "stroke-width=\"1.5\" stroke-dasharray=\"6 5\"",
    );
    path(&mut out, &hoop, "stroke-width=\"5\"");
    for x in [-foot, foot] {
        path(&mut out, &[(x, 0.0), (x, -h.bury_m)], "stroke-width=\"5\"");
    }
    let off = 0.02;
    let mut cloth = vec![(-foot - off - t.skirt_m, 0.008), (-foot - off, 0.008)];
    cloth.extend(outline.points().iter().map(|p| {
        let (sin, cos) = p.tangent_rad.sin_cos();
        (p.x_m - off * sin, p.z_m + off * cos)
    }));
    cloth.extend([(foot + off, 0.008), (foot + off + t.skirt_m, 0.008)]);
    path(&mut out, &cloth, "stroke-width=\"2.5\" stroke-dasharray=\"14 4\"");
    measures(&mut out, t, words, foot);
    out.push_str("</svg>\n");
    out
}

fn measures(out: &mut String, t: &Tunnel, words: &GardenFormat, foot: f64) {
    let (h, l) = (&t.hoops, &t.limits);
    let mut say = |x: f64, y: f64, anchor: &str, text: &str| {
        let _ = writeln!(
            out,
            "<text x=\"{x:.0}\" y=\"{y:.0}\" text-anchor=\"{anchor}\" fill=\"currentColor\" stroke=\"none\">{}</text>",
            escape(text)
        );
    };
    let under = SCALE * h.bury_m;
    say(0.0, -0.5 * SCALE * h.rise_m(), "middle", &format!("{} high", words.short(h.rise_m())));
    say(0.0, under + 40.0, "middle", &format!("{} between the feet", words.short(h.span_m())));
    say(0.0, under + 70.0, "middle", &format!("bed {} wide", words.short(t.bed_m.1)));
    let buried = format!("{} in the ground", words.short(h.bury_m));
    say(SCALE * foot - 10.0, under, "end", &buried);
    say(
        0.0,
        -SCALE * h.rise_m() - 28.0,
        "middle",
        &format!("{} of hoop above ground", words.short(h.arch_m())),
    );
    let skirt = format!("skirt {}", words.short(t.skirt_m));
    say(-SCALE * (foot + 0.5 * t.skirt_m) - 10.0, 26.0, "middle", &skirt);
    for (i, line) in [
        format!(
            "{} hoops of {}, {} apart",
            t.count,
            words.short(h.length_m),
            words.short(h.spacing_m)
        ),
        format!("sheet {} by {}", words.short(t.sheet_m.0), words.long(t.sheet_m.1)),
        format!("{} pins a side and one at each end", t.pins_a_side),
        format!(
            "gives way under {} {} of fresh snow, {} wet",
            words.short_range(l.snow_collapses_m[0]),
            words.short_unit(),
            words.short_range(l.snow_collapses_m[2])
        ),
        format!(
            "gusts: hoops {}, pins {} {} (low to likely; estimates)",
            words.wind_range(l.gust_collapses_m_s),
            l.pins_m_s.map_or_else(|| "-".into(), |p| words.wind_range(p)),
            words.wind_unit()
        ),
    ]
    .iter()
    .enumerate()
    {
        say(0.0, under + 104.0 + 26.0 * i as f64, "middle", line);
    }
    // Arrowless measure of the span.
    let (x, y) = (SCALE * foot, under + 46.0);
    let _ = writeln!(out, "<path d=\"M{:.0} {y:.0} H{x:.0}\" stroke-width=\"1\"/>", -x);
}

fn describe(t: &Tunnel, words: &GardenFormat) -> String {
    format!(
        "Cross-section of {} hoops, {} between the feet and {} high, with a sheet {} wide.",
        t.count,
        words.short(t.hoops.span_m()),
        words.short(t.hoops.rise_m()),
        words.short(t.sheet_m.0)
    )
}
