//! Readings as a machine sends them: fields by name, or JSON.

use quantities::Moment;
use serde_json::Value;

use crate::constants::MOST_A_MESSAGE;
use crate::{Reading, Unit};

/// Why a message holds no reading.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum MessageError {
    /// No temperature.
    #[error("no temperature: send “tempf” or “temp_f” in °F, “tempc” or “temp_c” in °C")]
    NoTemperature,
    /// A field that is no number.
    #[error("{field}: found “{found}”, expected a number")]
    NoNumber {
        /// Its name.
        field: String,
        /// What stands there.
        found: String,
    },
    /// A time that cannot be read.
    #[error(
        "{field}: found “{found}”, expected “now”, a time in UTC such as 2027-05-14 03:00:00, or seconds since 1970"
    )]
    NoTime {
        /// Its name.
        field: String,
        /// What stands there.
        found: String,
    },
    /// Not JSON.
    #[error("the message is not JSON: {0}")]
    NotJson(String),
    /// No object of fields.
    #[error("found {0}, expected an object of fields or a list of such")]
    NoObject(&'static str),
    /// Too many at once.
    #[error("more than {MOST_A_MESSAGE} readings in one message; send fewer")]
    TooMany,
    /// Nothing at a path.
    #[error("nothing stands at “{0}” of the message")]
    NoField(String),
}

/// A reading from fields by name; `now` is the moment it came, where the fields tell none.
///
/// Temperature: `tempf`, `temp_f`, `temperature_f` in °F; `tempc`, `temp_c`, `temperature_c` in °C. Time: `dateutc`, `at` or
/// `time`. Other fields (humidity, wind, rain) are taken and not kept. Checked by `single::fields_as_machines_send_them`.
///
/// # Errors
/// [`MessageError`].
pub fn from_fields<'a>(
    fields: impl Fn(&str) -> Option<&'a str>,
    now: Moment,
) -> Result<Reading, MessageError> {
    const NAMES: [(&str, Unit); 6] = [
        ("tempf", Unit::Fahrenheit),
        ("temp_f", Unit::Fahrenheit),
        ("temperature_f", Unit::Fahrenheit),
        ("tempc", Unit::Celsius),
        ("temp_c", Unit::Celsius),
        ("temperature_c", Unit::Celsius),
    ];
    let given = NAMES.iter().find_map(|(name, unit)| Some((*name, *unit, fields(name)?)));
    let (name, unit, text) = given.ok_or(MessageError::NoTemperature)?;
    let number = text.trim().parse::<f64>().ok().filter(|x| x.is_finite());
    let number = number
        .ok_or_else(|| MessageError::NoNumber { field: name.to_owned(), found: short(text) })?;
    let time = ["dateutc", "at", "time"].iter().find_map(|n| Some((*n, fields(n)?)));
    let at = match time {
        None => now,
        Some((name, text)) => when(text, now)
            .ok_or_else(|| MessageError::NoTime { field: name.to_owned(), found: short(text) })?,
    };
    Ok(Reading { at, celsius: unit.celsius(number) })
}

/// Readings from JSON: an object of fields, or a list of such.
///
/// # Errors
/// [`MessageError`].
pub fn from_json(bytes: &[u8], now: Moment) -> Result<Vec<Reading>, MessageError> {
    let value: Value =
        serde_json::from_slice(bytes).map_err(|e| MessageError::NotJson(e.to_string()))?;
    let list = match value {
        Value::Array(list) => list,
        one => vec![one],
    };
    if list.len() > MOST_A_MESSAGE {
        return Err(MessageError::TooMany);
    }
    list.iter().map(|v| object(v, now)).collect()
}

fn object(value: &Value, now: Moment) -> Result<Reading, MessageError> {
    let Value::Object(map) = value else { return Err(MessageError::NoObject(kind(value))) };
    let texts: Vec<(&str, String)> = map
        .iter()
        .filter_map(|(k, v)| match v {
            Value::String(s) => Some((k.as_str(), s.clone())),
            Value::Number(n) => Some((k.as_str(), n.to_string())),
            _ => None,
        })
        .collect();
    from_fields(|name| texts.iter().find(|t| t.0 == name).map(|t| t.1.as_str()), now)
}

/// The temperature of a message that holds a bare number or, at `field`, JSON with names parted by dots, °C.
///
/// # Errors
/// [`MessageError`].
pub fn from_payload(payload: &[u8], field: Option<&str>, unit: Unit) -> Result<f64, MessageError> {
    let text = String::from_utf8_lossy(payload);
    let wrong = |field: &str, found: &str| MessageError::NoNumber {
        field: field.to_owned(),
        found: short(found),
    };
    let Some(path) = field else {
        let number = text.trim().parse::<f64>().ok().filter(|x| x.is_finite());
        return number.map(|x| unit.celsius(x)).ok_or_else(|| wrong("message", &text));
    };
    let value: Value =
        serde_json::from_slice(payload).map_err(|e| MessageError::NotJson(e.to_string()))?;
    let step = |v: &Value, name: &str| match v {
        Value::Array(list) => name.parse::<usize>().ok().and_then(|i| list.get(i)).cloned(),
        other => other.get(name).cloned(),
    };
    let found = path.split('.').try_fold(value, |v, name| step(&v, name));
    let found = found.ok_or_else(|| MessageError::NoField(path.to_owned()))?;
    let number = match &found {
        Value::Number(n) => n.as_f64(),
        Value::String(s) => s.trim().parse().ok(),
        _ => None,
    };
    let number = number.filter(|x: &f64| x.is_finite());
    number.map(|x| unit.celsius(x)).ok_or_else(|| wrong(path, &found.to_string()))
}

/// A time as a machine writes it: `now`, UTC, or seconds since 1970.
fn when(text: &str, now: Moment) -> Option<Moment> {
    // A plus may stand for the space, as in a form.
    let text = text.trim().replace('+', " ");
    if text.eq_ignore_ascii_case("now") {
        return Some(now);
    }
    if let Ok(seconds) = text.parse::<i64>() {
        return Some(Moment(seconds)).filter(|m| (0..=7_258_118_400).contains(&m.0));
    }
    let utc = crate::dates::Dates { zone: jiff::tz::TimeZone::UTC, order: None };
    crate::dates::moment(&text, &utc, None)
}

fn short(text: &str) -> String {
    text.trim().chars().take(40).collect()
}

fn kind(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "true or false",
        Value::Number(_) => "a number",
        Value::String(_) => "text",
        Value::Array(_) => "a list",
        Value::Object(_) => "an object",
    }
}
