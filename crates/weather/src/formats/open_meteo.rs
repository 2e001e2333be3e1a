//! Open-Meteo hourly JSON: parallel lists with their units beside them.
//!
//! Times are local at the fixed offset `utc_offset_seconds`, or seconds since 1970 in UTC. Values are at the time given, except precipitation
//! and sunlight, which are over the hour before it. Cloud is read from `cloud_cover`; where that is absent
//! it is taken from the WMO weather code and flagged as derived.

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::Offset;
use quantities::time::SECONDS_PER_HOUR;
use quantities::{Meaning, Moment, Origin, Place, Reading};
use serde_json::Value;

use crate::constants::{CLOUD_BY_CODE, WIND_HEIGHT_M};
use crate::error::ReadError;
use crate::forecast::{Forecast, Notice};
use crate::formats::{forward, refused, strange};
use crate::json::At;
use crate::timeline::{Quantity as Q, Timeline};
use crate::units::conversion;

const FORMAT: &str = "Open-Meteo hourly forecast";

/// Names (today's first, then the service's older one), quantity, meaning, and whether the value is about the hour before
/// its time.
const SERIES: [(&[&str], Q, Meaning, bool); 9] = [
    (&["temperature_2m"], Q::AirTemperature, Meaning::AtStart, false),
    (&["dew_point_2m", "dewpoint_2m"], Q::DewPoint, Meaning::AtStart, false),
    (
        &["relative_humidity_2m", "relativehumidity_2m"],
        Q::RelativeHumidity,
        Meaning::AtStart,
        false,
    ),
    (&["wind_speed_10m", "windspeed_10m"], Q::WindSpeed, Meaning::AtStart, false),
    (&["wind_gusts_10m", "windgusts_10m"], Q::WindGust, Meaning::Maximum, true),
    (&["cloud_cover", "cloudcover"], Q::Cloud, Meaning::AtStart, false),
    (&["shortwave_radiation"], Q::Shortwave, Meaning::Mean, true),
    (&["precipitation"], Q::Precipitation, Meaning::Sum, true),
    (&["snowfall"], Q::Snowfall, Meaning::Sum, true),
];

/// The code of the weather, by its names.
const CODES: [&str; 2] = ["weather_code", "weathercode"];

/// Reads the body.
///
/// # Errors
/// [`ReadError`].
pub fn read(body: &Value) -> Result<Forecast, ReadError> {
    let root = At::root(body, FORMAT);
    let hourly = root.get("hourly")?;
    let units = root.get("hourly_units")?;
    let times = times(&root, &hourly)?;
    let mut timeline = Timeline::default();
    let mut notices = Vec::new();
    for (names, quantity, meaning, before) in SERIES {
        let Some((key, list)) = named(&hourly, names) else { continue };
        let unit = units.get(key)?;
        let (factor, offset) = conversion(quantity, unit.text()?)
            .ok_or_else(|| unit.wrong(&format!("a unit of {}", quantity.bounds().quantity)))?;
        for (value, start) in same_length(&list, &times)? {
            if value.value.is_null() {
                continue;
            }
            let start = if before { start.plus_seconds(-SECONDS_PER_HOUR) } else { start };
            if times.first().is_some_and(|first| start < *first) {
                continue;
            }
            let reading = Reading::given(value.number()? * factor + offset, meaning);
            timeline.put(start, quantity, reading).map_err(refused(&value))?;
        }
    }
    let known = |name: &str| SERIES.iter().any(|s| s.0.contains(&name));
    for name in strange(hourly.value, known) {
        timeline.leave_unread(name);
    }
    let cloud = SERIES.iter().filter(|s| s.1 == Q::Cloud).any(|s| named(&hourly, s.0).is_some());
    if !cloud && let Some((_, codes)) = named(&hourly, &CODES) {
        cloud_from_codes(&codes, &times, &mut timeline)?;
        notices.push(Notice("Cloud is read off the weather code, which is coarse.".into()));
    }
    let hours = timeline.finish(FORMAT, &mut notices)?;
    let number = |key| root.maybe(key).and_then(|v| v.number().ok());
    let place = match (number("latitude"), number("longitude"), number("elevation")) {
        (Some(latitude_deg), Some(longitude_deg), Some(elevation_m)) => {
            Some(Place { latitude_deg, longitude_deg, elevation_m })
        }
        _ => None,
    };
    Ok(Forecast {
        source: FORMAT,
        issued: None,
        place,
        wind_height_m: WIND_HEIGHT_M,
        hours,
        notices,
    })
}

/// The first of these layers that is there, with its name.
fn named<'a>(hourly: &At<'a>, names: &[&'static str]) -> Option<(&'static str, At<'a>)> {
    names.iter().find_map(|name| Some((*name, hourly.maybe(name)?)))
}

fn times(root: &At<'_>, hourly: &At<'_>) -> Result<Vec<Moment>, ReadError> {
    let list = hourly.get("time")?.list()?;
    let unix = list.first().is_some_and(|first| first.value.is_number());
    // Seconds since 1970 are in UTC whatever the offset says.
    let offset = if unix { Offset::UTC } else { offset(root)? };
    let mut last = None;
    list.iter()
        .map(|at| {
            let moment = if unix { seconds(at)? } else { local(at, offset)? };
            forward(at, &mut last, moment)?;
            Ok(moment)
        })
        .collect()
}

fn offset(root: &At<'_>) -> Result<Offset, ReadError> {
    let offset = root.get("utc_offset_seconds")?;
    Offset::from_seconds(offset.number()? as i32)
        .map_err(|_| offset.wrong("an offset from UTC in seconds"))
}

fn local(at: &At<'_>, offset: Offset) -> Result<Moment, ReadError> {
    let expected = "a local time such as 2027-05-14T20:00";
    let local: DateTime = at.text()?.parse().map_err(|_| at.wrong(expected))?;
    let time = offset.to_timestamp(local).map_err(|_| at.wrong(expected))?;
    Ok(Moment(time.as_second()))
}

fn seconds(at: &At<'_>) -> Result<Moment, ReadError> {
    let seconds = at.value.as_i64().filter(|s| Timestamp::from_second(*s).is_ok());
    seconds.map(Moment).ok_or_else(|| at.wrong("a time in seconds since 1970"))
}

fn same_length<'a>(list: &At<'a>, times: &[Moment]) -> Result<Vec<(At<'a>, Moment)>, ReadError> {
    let values = list.list()?;
    if values.len() != times.len() {
        return Err(list.refuse(
            format!("{} values", values.len()),
            format!("{} values, as many as there are times", times.len()),
        ));
    }
    Ok(values.into_iter().zip(times.iter().copied()).collect())
}

/// WMO code table 4677 as the service uses it: 0 clear, 1 mainly clear, 2 partly cloudy, 3 overcast, 45+ fog or
/// falling weather (taken as overcast). Octas in the middle of each class, from memory.
fn cloud_from_codes(
    codes: &At<'_>,
    times: &[Moment],
    timeline: &mut Timeline,
) -> Result<(), ReadError> {
    for (code, start) in same_length(codes, times)? {
        if code.value.is_null() {
            continue;
        }
        let value = match code.number()? as i64 {
            0 => CLOUD_BY_CODE[0],
            1 => CLOUD_BY_CODE[1],
            2 => CLOUD_BY_CODE[2],
            3..=99 => 1.0,
            _ => return Err(code.wrong("a WMO weather code, 0 to 99")),
        };
        let reading = Reading { value, meaning: Meaning::AtStart, origin: Origin::Derived };
        timeline.put(start, Q::Cloud, reading).map_err(refused(&code))?;
    }
    Ok(())
}
