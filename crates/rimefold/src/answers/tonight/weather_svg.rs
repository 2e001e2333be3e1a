//! The weather of the night as one SVG: air, dew point and sky above, with what was read here, cloud as a strip, wind below.

use std::fmt::Write as _;

use evening::learned::AirNow;
use evening::report::{ForecastHour, Report};

use crate::answers::drawing::scale::{Plot, end_labels, path};
use crate::answers::drawing::{PICTURE, on_page};
use crate::format::GardenFormat;

/// Drawing units: whole width and height, the sides and the ends of the three plots.
const WIDE: f64 = 340.0;
const HIGH: f64 = 262.0;
const SIDES: [f64; 2] = [34.0, 262.0];
const DEGREES: [f64; 2] = [10.0, 140.0];
const CLOUD: [f64; 2] = [152.0, 172.0];
const WIND: [f64; 2] = [186.0, 240.0];
/// Least distance between two words at the right edge.
const APART: f64 = 14.0;

/// The drawing; nothing where the forecast has no temperatures.
pub fn draw(report: &Report, air: &[AirNow], words: &GardenFormat) -> Option<String> {
    let hours = &report.weather.hours;
    let (first, last) = hours.first().zip(hours.last())?;
    let along = [first.at.0 as f64, last.at.0 as f64];
    let lines = lines();
    let of = |f: fn(&ForecastHour) -> Option<f64>| hours.iter().filter_map(f);
    let night = first.at..=last.at;
    let read: Vec<&AirNow> = air.iter().filter(|r| night.contains(&r.at)).collect();
    let dots = || read.iter().map(|r| r.celsius);
    let degrees = || lines.iter().flat_map(|l| of(l.of)).chain(dots());
    let (low, high) = (degrees().reduce(f64::min)?, degrees().reduce(f64::max)?);
    let plot = |ends, values| Plot { sides: SIDES, ends, along, values };
    let described = describe(report, &read, words);
    let mut out = on_page("night weather", [WIDE, HIGH], false, PICTURE, &described);
    let frame = plot(DEGREES, [low - 0.5, high + 0.5]);
    frame.degrees(&mut out, words);
    frame.hours(&mut out, words, None);
    let _ = write!(out, "<text x=\"2\" y=\"{:.0}\">{}</text>", DEGREES[1] + 12.0, words.degree());
    let mut ends = Vec::new();
    for line in &lines {
        let points = points(&frame, hours, line.of);
        let Some(end) = points.last() else { continue };
        ends.push((end.1, line.word));
        let _ = write!(out, "<path class=\"{}\" d=\"{}\"/>", line.class, path(&points));
    }
    for reading in &read {
        let (x, y) = (frame.x(reading.at.0 as f64), frame.y(reading.celsius));
        let _ = write!(out, "<circle class=\"read\" cx=\"{x:.0}\" cy=\"{y:.0}\" r=\"3\"/>");
    }
    end_labels(&mut out, &frame, APART, ends);
    cloud(&mut out, &plot(CLOUD, [0.0, 1.0]), hours);
    wind(&mut out, &plot(WIND, [0.0, of(|h| h.wind_m_s).fold(2.0, f64::max)]), report, words);
    out.push_str("</svg>");
    Some(out)
}

/// One line of the upper plot.
struct Line {
    of: fn(&ForecastHour) -> Option<f64>,
    word: &'static str,
    class: &'static str,
}

fn lines() -> [Line; 3] {
    [
        Line { of: |h| h.air_c, word: "air", class: "air" },
        Line { of: |h| h.dew_point_c, word: "dew point", class: "dew" },
        Line { of: |h| h.sky_c, word: "sky", class: "open" },
    ]
}

fn points(
    plot: &Plot,
    hours: &[ForecastHour],
    of: fn(&ForecastHour) -> Option<f64>,
) -> Vec<(f64, f64)> {
    hours.iter().filter_map(|h| Some((plot.x(h.at.0 as f64), plot.y(of(h)?)))).collect()
}

/// How much of the sky is under cloud, as the height of a filled strip.
fn cloud(out: &mut String, plot: &Plot, hours: &[ForecastHour]) {
    let [left, right] = plot.sides;
    let [top, bottom] = plot.ends;
    let shown = points(plot, hours, |h| h.cloud);
    let word = if shown.is_empty() { "no cloud given" } else { "cloud" };
    if let Some((from, to)) = shown.first().zip(shown.last()) {
        let _ = write!(
            out,
            "<path class=\"band\" d=\"{}L{:.0} {bottom:.0}L{:.0} {bottom:.0}Z\"/>",
            path(&shown),
            to.0,
            from.0
        );
    }
    let _ = write!(
        out,
        "<path class=\"grid\" d=\"M{left:.0} {top:.0}H{right:.0}V{bottom:.0}H{left:.0}z\"/><text x=\"{:.0}\" y=\"{:.0}\">{word}</text>",
        right + 5.0,
        bottom - 5.0
    );
}

/// The wind, with the hours below.
fn wind(out: &mut String, plot: &Plot, report: &Report, words: &GardenFormat) {
    let shown = points(plot, &report.weather.hours, |h| h.wind_m_s);
    let most = plot.values[1];
    let unit = words.wind_unit();
    let at = |v: f64| words.wind(v).replace(unit, "").trim().to_owned();
    plot.lines_across(out, [(0.0, at(0.0)), (most, at(most))]);
    plot.hours(out, words, Some(HIGH - 6.0));
    let _ = write!(out, "<path class=\"said\" d=\"{}\"/>", path(&shown));
    let word = if shown.is_empty() { "no wind given".to_owned() } else { format!("wind, {unit}") };
    end_labels(out, plot, APART, vec![(shown.last().map_or(plot.ends[1], |p| p.1), &word)]);
}

/// The same in words, for those who hear the page.
fn describe(report: &Report, read: &[&AirNow], words: &GardenFormat) -> String {
    let hours = &report.weather.hours;
    let range = |of: fn(&ForecastHour) -> Option<f64>| {
        let low = hours.iter().filter_map(of).reduce(f64::min)?;
        Some((low, hours.iter().filter_map(of).reduce(f64::max)?))
    };
    let degrees = |word: &str, of| {
        range(of).map(|(a, b)| format!("{word} {} to {}", words.bare(a), words.temperature(b)))
    };
    let all = lines().map(|l| degrees(l.word, l.of)).into_iter().flatten();
    let cloud =
        range(|h| h.cloud).map(|(a, b)| format!("cloud {:.0} to {:.0} %", 100.0 * a, 100.0 * b));
    let wind =
        range(|h| h.wind_m_s).map(|(a, b)| format!("wind {} to {}", words.wind(a), words.wind(b)));
    let last = read
        .last()
        .map(|r| format!("read here at {} {}", words.time(r.at), words.temperature(r.celsius)));
    let parts: Vec<String> = all.chain(cloud).chain(wind).chain(last).collect();
    format!("Weather of the night: {}", parts.join(", "))
}
