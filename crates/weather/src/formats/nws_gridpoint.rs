//! US National Weather Service raw gridpoint JSON: layers of values, each over an ISO-8601 interval.
//!
//! `validTime` is `start/duration`; the value holds over the whole interval; precipitation and snow are its sum.

use jiff::{Span, SpanRelativeTo, Timestamp, Unit};
use quantities::{Meaning, Moment, Place};
use serde_json::Value;

use crate::constants::{MOST_HOURS, WIND_HEIGHT_M};
use crate::error::ReadError;
use crate::forecast::Forecast;
use crate::formats::{forward, refused, strange};
use crate::json::At;
use crate::timeline::{Quantity as Q, Timeline};
use crate::units::conversion;

const FORMAT: &str = "US weather service gridpoint forecast";
const LAYERS: [(&str, Q, Meaning); 8] = [
    ("temperature", Q::AirTemperature, Meaning::Mean),
    ("dewpoint", Q::DewPoint, Meaning::Mean),
    ("relativeHumidity", Q::RelativeHumidity, Meaning::Mean),
    ("windSpeed", Q::WindSpeed, Meaning::Mean),
    ("windGust", Q::WindGust, Meaning::Maximum),
    ("skyCover", Q::Cloud, Meaning::Mean),
    ("quantitativePrecipitation", Q::Precipitation, Meaning::Sum),
    ("snowfallAmount", Q::Snowfall, Meaning::Sum),
];

/// Reads the body.
///
/// # Errors
/// [`ReadError`].
pub fn read(body: &Value) -> Result<Forecast, ReadError> {
    let root = At::root(body, FORMAT);
    let properties = root.get("properties")?;
    let mut timeline = Timeline::default();
    let mut notices = Vec::new();
    for (name, quantity, meaning) in LAYERS {
        let Some(layer) = properties.maybe(name) else { continue };
        let Some(values) = layer.maybe("values") else { continue };
        read_layer(&layer, &values, quantity, meaning, &mut timeline)?;
    }
    let layer = |name: &str| properties.maybe(name).is_some_and(|l| l.maybe("values").is_some());
    for name in strange(properties.value, |name| LAYERS.iter().any(|l| l.0 == name)) {
        if layer(name) {
            timeline.leave_unread(name);
        }
    }
    let issued = properties.maybe("updateTime").map(|t| t.moment()).transpose()?;
    let hours = timeline.finish(FORMAT, &mut notices)?;
    let place = place(&root, &properties);
    Ok(Forecast { source: FORMAT, issued, place, wind_height_m: WIND_HEIGHT_M, hours, notices })
}

fn read_layer(
    layer: &At<'_>,
    values: &At<'_>,
    quantity: Q,
    meaning: Meaning,
    timeline: &mut Timeline,
) -> Result<(), ReadError> {
    let list = values.list()?;
    if list.is_empty() {
        return Ok(());
    }
    let unit = layer.get("uom")?;
    let (factor, offset) = conversion(quantity, unit.text()?)
        .ok_or_else(|| unit.wrong(&format!("a unit of {}", quantity.bounds().quantity)))?;
    let mut last = None;
    for entry in list {
        let (start, hours) = interval(&entry.get("validTime")?)?;
        forward(&entry, &mut last, start)?;
        // A null is the service's way to say that nothing is known.
        let Some(value) = entry.maybe("value") else { continue };
        let number = value.number()? * factor + offset;
        timeline.spread(start, hours, quantity, number, meaning).map_err(refused(&value))?;
    }
    Ok(())
}

/// `2027-05-14T18:00:00+00:00/PT3H` as a start and a number of hours.
fn interval(at: &At<'_>) -> Result<(Moment, i64), ReadError> {
    let expected = "start/duration such as 2027-05-14T18:00:00+00:00/PT3H, in whole hours";
    let bad = || at.wrong(expected);
    let (start, duration) = at.text()?.split_once('/').ok_or_else(bad)?;
    let start: Timestamp = start.parse().map_err(|_| bad())?;
    let span: Span = duration.parse().map_err(|_| bad())?;
    let minutes =
        span.total((Unit::Minute, SpanRelativeTo::days_are_24_hours())).map_err(|_| bad())?;
    if !(60.0..=60.0 * MOST_HOURS as f64).contains(&minutes) || minutes % 60.0 != 0.0 {
        return Err(bad());
    }
    Ok((Moment(start.as_second()), (minutes / 60.0) as i64))
}

/// The middle of the cell's outline; `None` where the file has none.
pub(crate) fn place(root: &At<'_>, properties: &At<'_>) -> Option<Place> {
    let ring = root
        .maybe("geometry")?
        .maybe("coordinates")?
        .list()
        .ok()?
        .into_iter()
        .next()?
        .list()
        .ok()?;
    let corners: Vec<(f64, f64)> = ring
        .iter()
        .filter_map(|c| Some((c.value.get(0)?.as_f64()?, c.value.get(1)?.as_f64()?)))
        .collect();
    let n = corners.len() as f64;
    if corners.is_empty() {
        return None;
    }
    Some(Place {
        longitude_deg: corners.iter().map(|c| c.0).sum::<f64>() / n,
        latitude_deg: corners.iter().map(|c| c.1).sum::<f64>() / n,
        elevation_m: properties.maybe("elevation")?.maybe("value")?.number().ok()?,
    })
}
