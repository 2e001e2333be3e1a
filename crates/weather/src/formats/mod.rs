//! The known formats, one file each.

pub mod csv;
pub mod met_norway;
pub mod nws_gridpoint;
pub mod nws_hourly;
pub mod open_meteo;

use quantities::Moment;
use serde_json::Value;

use crate::bounded_json;
use crate::error::ReadError;
use crate::forecast::Forecast;
use crate::json::At;
use crate::timeline::Refused;

/// Tells JSON formats apart by the members each must have.
pub(crate) fn read_json(text: &str) -> Result<Forecast, ReadError> {
    let value: Value = bounded_json::read(text).map_err(|e| {
        let what = e.to_string();
        let what = what.split(" at line ").next().unwrap_or_default().to_owned();
        ReadError::Syntax { line: e.line(), column: e.column(), what }
    })?;
    // A saved answer may wrap the body.
    let body = value.get("data").filter(|d| d.get("properties").is_some()).unwrap_or(&value);
    let properties = body.get("properties");
    let has = |key: &str| properties.is_some_and(|p| p.get(key).is_some());
    if has("timeseries") {
        met_norway::read(body)
    } else if has("periods") {
        nws_hourly::read(body)
    } else if has("forecastGridData") {
        Err(ReadError::Unknown {
            found: "the weather service's answer for a point".into(),
            hint:
                "it only says where the forecast is: save what its `forecastGridData` address gives"
                    .into(),
        })
    } else if has("temperature") || has("gridId") {
        nws_gridpoint::read(body)
    } else if body.get("hourly").is_some() {
        open_meteo::read(body)
    } else if let Some(words) = own_error(&value) {
        Err(ReadError::Unknown {
            found: format!("the service's own answer that it has none (“{words}”)"),
            hint: "ask it again, or for another place".into(),
        })
    } else {
        Err(ReadError::Unknown {
            found: "JSON without `properties.timeseries`, `properties.periods`, `properties.temperature` or `hourly`".into(),
            hint: "see docs/formats.md for the formats that are read".into(),
        })
    }
}

/// What a service says is wrong, where an answer holds nothing but that.
fn own_error(value: &Value) -> Option<String> {
    let told = |key: &&str| value.get(key).and_then(Value::as_str).map(str::trim);
    let words = ["reason", "detail", "message", "error", "title"].iter().find_map(told)?;
    let words: String = words.chars().filter(|c| !c.is_control()).take(200).collect();
    (!words.is_empty()).then_some(words)
}

/// Names of what a file holds and no reader reads.
pub(crate) fn strange<'a>(
    object: &'a Value,
    known: impl Fn(&str) -> bool + 'a,
) -> impl Iterator<Item = &'a str> {
    object
        .as_object()
        .into_iter()
        .flatten()
        .map(|(name, _)| name.as_str())
        .filter(move |n| !known(n))
}

/// A refusal of the timeline at a place in the file.
pub(crate) fn refused(at: &At<'_>) -> impl FnOnce(Refused) -> ReadError {
    let at = at.clone();
    move |r| at.refuse(r.found, r.expected)
}

/// Times must go forward.
pub(crate) fn forward(
    at: &At<'_>,
    last: &mut Option<Moment>,
    now: Moment,
) -> Result<(), ReadError> {
    if last.is_some_and(|l| now <= l) {
        return Err(at.wrong("a time later than the one before it"));
    }
    *last = Some(now);
    Ok(())
}
