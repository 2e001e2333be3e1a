//! Bytes in, hours, days and notices out: forecast and station readers, frost dates, the forecast-error model.
//!
//! ```
//! let csv = b"time,air_temperature_c\n2027-05-14T20:00Z,4.5\n2027-05-14T21:00Z,3.0\n";
//! let forecast = weather::read(csv)?;
//! assert_eq!(forecast.hours.len(), 2);
//! assert!(forecast.hours[0].cloud_fraction.is_none(), "what is missing stays missing");
//! # Ok::<(), weather::ReadError>(())
//! ```
//!
//! | module | holds |
//! |---|---|
//! | [`forecast`] | [`Forecast`], [`Notice`] |
//! | [`error`] | [`ReadError`]: what was found, where, what was expected, what to do |
//! | [`formats`] | one file per format; conventions in `docs/formats.md` |
//! | [`timeline`] | hours gathered by quantity, checked against believable bounds |
//! | [`combined`] | several forecasts for one place as one |
//! | [`error_model`] | how wrong a forecast is by lead time |
//! | [`station`] | [`StationRecord`]: a station's days, refused values counted; lists of stations |
//! | [`frost`] | dates of the last and first frost, how sure and whether they move |
//! | [`constants`] | every number, with unit and source |
//! | [`hours`] | a station's days made into hours, always marked as derived |

mod bounded_json;
pub mod combined;
pub mod constants;
pub mod error;
pub mod error_model;
pub mod forecast;
pub mod formats;
pub mod frost;
pub mod hours;
mod json;
pub mod station;
pub mod timeline;
mod units;

pub use error::ReadError;
pub use forecast::{Forecast, Notice, to_csv};
pub use station::{Station, StationRecord};

/// Reads a forecast of any known format, told apart by content.
///
/// # Errors
/// [`ReadError`] names the place, what was found, what was expected and what to do.
pub fn read(bytes: &[u8]) -> Result<Forecast, ReadError> {
    let text =
        std::str::from_utf8(bytes).map_err(|e| ReadError::NotText { byte: e.valid_up_to() })?;
    let text = text.trim_start_matches('\u{feff}');
    match text.trim_start().chars().next() {
        None => Err(ReadError::Empty),
        Some('{') => formats::read_json(text),
        Some('<') => Err(ReadError::Unknown {
            found: "a web page".into(),
            hint: "save the forecast itself, not the page that shows it".into(),
        }),
        Some('[') => Err(ReadError::Unknown {
            found: "a JSON list".into(),
            hint: "every known forecast is a JSON object; save the whole answer of the service"
                .into(),
        }),
        Some(_) => formats::csv::read(text),
    }
}
