//! The known formats, one file each.

pub mod csv;
pub mod met_norway;
pub mod nws_gridpoint;
pub mod nws_hourly;
pub mod open_meteo;

use quantities::Moment;
use serde_json::Value;

use crate::error::ReadError;
use crate::forecast::Forecast;
use crate::json::At;
use crate::timeline::Refused;

/// Tells JSON formats apart by the members each must have.
pub(crate) fn read_json(text: &str) -> Result<Forecast, ReadError> {
    let value: Value = serde_json::from_str(text).map_err(|e| {
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
    } else {
        Err(ReadError::Unknown {
            found: "JSON without `properties.timeseries`, `properties.periods`, `properties.temperature` or `hourly`".into(),
            hint: "see docs/formats.md for the formats that are read".into(),
        })
    }
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
