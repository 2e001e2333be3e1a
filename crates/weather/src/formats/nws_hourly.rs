//! US National Weather Service hourly JSON: one period an hour, wind as words such as `5 mph` or `2 to 6 mph`.

use quantities::units::MPH_M_S;
use quantities::{Meaning, Reading};
use serde_json::Value;

use crate::constants::WIND_HEIGHT_M;
use crate::error::ReadError;
use crate::forecast::Forecast;
use crate::formats::{forward, nws_gridpoint, refused};
use crate::json::At;
use crate::timeline::{Quantity as Q, Timeline};
use crate::units::conversion;

const FORMAT: &str = "US weather service hourly forecast";

/// Reads the body.
///
/// # Errors
/// [`ReadError`].
pub fn read(body: &Value) -> Result<Forecast, ReadError> {
    let root = At::root(body, FORMAT);
    let properties = root.get("properties")?;
    let mut timeline = Timeline::default();
    let mut notices = Vec::new();
    let mut last = None;
    for period in properties.get("periods")?.list()? {
        let time = period.get("startTime")?;
        let start = time.moment()?;
        forward(&time, &mut last, start)?;
        if let Some(t) = period.maybe("temperature") {
            let unit = period.get("temperatureUnit")?;
            let (factor, offset) =
                conversion(Q::AirTemperature, unit.text()?).ok_or_else(|| unit.wrong("F or C"))?;
            let reading = Reading::given(t.number()? * factor + offset, Meaning::Mean);
            timeline.put(start, Q::AirTemperature, reading).map_err(refused(&t))?;
        }
        for (key, quantity) in
            [("dewpoint", Q::DewPoint), ("relativeHumidity", Q::RelativeHumidity)]
        {
            let Some(member) = period.maybe(key) else { continue };
            let Some(value) = member.maybe("value") else { continue };
            let unit = member.get("unitCode")?;
            let (factor, offset) = conversion(quantity, unit.text()?)
                .ok_or_else(|| unit.wrong(&format!("a unit of {}", quantity.bounds().quantity)))?;
            let reading = Reading::given(value.number()? * factor + offset, Meaning::Mean);
            timeline.put(start, quantity, reading).map_err(refused(&value))?;
        }
        if let Some(wind) = period.maybe("windSpeed") {
            let speed = wind_m_s(wind.text()?)
                .ok_or_else(|| wind.wrong("wind such as `5 mph` or `2 to 6 mph`"))?;
            let reading = Reading::given(speed, Meaning::Mean);
            timeline.put(start, Q::WindSpeed, reading).map_err(refused(&wind))?;
        }
    }
    let issued = properties.maybe("updateTime").map(|t| t.moment()).transpose()?;
    let hours = timeline.finish(FORMAT, &mut notices)?;
    let place = nws_gridpoint::place(&root, &properties);
    Ok(Forecast { source: FORMAT, issued, place, wind_height_m: WIND_HEIGHT_M, hours, notices })
}

/// `5 mph`, `2 to 6 mph` (their middle), `10 km/h`, `0 mph`.
fn wind_m_s(words: &str) -> Option<f64> {
    let (numbers, factor) = if let Some(n) = words.strip_suffix(" mph") {
        (n, MPH_M_S)
    } else {
        (words.strip_suffix(" km/h")?, 1.0 / 3.6)
    };
    let parse = |s: &str| s.trim().parse::<f64>().ok().filter(|x| x.is_finite());
    let middle = match numbers.split_once(" to ") {
        Some((a, b)) => 0.5 * (parse(a)? + parse(b)?),
        None => parse(numbers)?,
    };
    Some(middle * factor)
}
