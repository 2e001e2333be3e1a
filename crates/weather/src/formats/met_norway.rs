//! MET Norway locationforecast 2.0: values at an instant, 1 h steps then 6 h steps; precipitation over the hours after.

use quantities::{Meaning, Place, Reading};
use serde_json::Value;

use crate::constants::WIND_HEIGHT_M;
use crate::error::ReadError;
use crate::forecast::{Forecast, Notice};
use crate::formats::{forward, refused, strange};
use crate::json::At;
use crate::timeline::{Quantity as Q, Timeline};
use crate::units::conversion;

const FORMAT: &str = "MET Norway locationforecast";
const DETAILS: [(&str, Q); 6] = [
    ("air_temperature", Q::AirTemperature),
    ("dew_point_temperature", Q::DewPoint),
    ("relative_humidity", Q::RelativeHumidity),
    ("wind_speed", Q::WindSpeed),
    ("wind_speed_of_gust", Q::WindGust),
    ("cloud_area_fraction", Q::Cloud),
];

/// Reads the body.
///
/// # Errors
/// [`ReadError`].
pub fn read(body: &Value) -> Result<Forecast, ReadError> {
    let root = At::root(body, FORMAT);
    let properties = root.get("properties")?;
    let meta = properties.get("meta")?;
    let units = meta.get("units")?;
    let mut timeline = Timeline::default();
    let mut notices = Vec::new();
    let mut last = None;
    let mut long_steps = false;
    for entry in properties.get("timeseries")?.list()? {
        let time = entry.get("time")?;
        let start = time.moment()?;
        long_steps |= last.is_some_and(|l| start.hours_since(l) > 1.5);
        forward(&time, &mut last, start)?;
        let data = entry.get("data")?;
        let details = data.get("instant")?.get("details")?;
        if timeline.is_empty() {
            for name in strange(details.value, |name| DETAILS.iter().any(|d| d.0 == name)) {
                timeline.leave_unread(name);
            }
        }
        for (key, quantity) in DETAILS {
            let Some(value) = details.maybe(key) else { continue };
            let unit = units.get(key)?;
            let (factor, offset) = conversion(quantity, unit.text()?)
                .ok_or_else(|| unit.wrong(&format!("a unit of {}", quantity.bounds().quantity)))?;
            let meaning = if quantity == Q::WindGust { Meaning::Maximum } else { Meaning::AtStart };
            let reading = Reading::given(value.number()? * factor + offset, meaning);
            timeline.put(start, quantity, reading).map_err(refused(&value))?;
        }
        for (key, hours) in [("next_1_hours", 1), ("next_6_hours", 6)] {
            let Some(next) = data.maybe(key) else { continue };
            let Some(value) = next.maybe("details").and_then(|d| d.maybe("precipitation_amount"))
            else {
                continue;
            };
            timeline
                .spread(start, hours, Q::Precipitation, value.number()?, Meaning::Sum)
                .map_err(refused(&value))?;
            break;
        }
    }
    for (_, quantity) in DETAILS {
        timeline.interpolate(quantity, 6);
    }
    if long_steps {
        notices.push(Notice(
            "Later hours come in steps of up to 6 h; hours between are interpolated.".into(),
        ));
    }
    let issued = meta.maybe("updated_at").map(|t| t.moment()).transpose()?;
    let hours = timeline.finish(FORMAT, &mut notices)?;
    Ok(Forecast {
        source: FORMAT,
        issued,
        place: place(&root),
        wind_height_m: WIND_HEIGHT_M,
        hours,
        notices,
    })
}

fn place(root: &At<'_>) -> Option<Place> {
    let c = root.maybe("geometry")?.maybe("coordinates")?.value;
    Some(Place {
        longitude_deg: c.get(0)?.as_f64()?,
        latitude_deg: c.get(1)?.as_f64()?,
        elevation_m: c.get(2)?.as_f64()?,
    })
}
