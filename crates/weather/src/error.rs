//! Why a forecast could not be read, written for the person who must act.

/// One clear reason.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ReadError {
    /// Nothing in the file.
    #[error("the forecast is empty; fetch or save it again")]
    Empty,
    /// Not UTF-8.
    #[error("byte {byte} is not text; a forecast is JSON or CSV in UTF-8; fetch or save it again")]
    NotText {
        /// Offset of the first bad byte.
        byte: usize,
    },
    /// JSON that breaks off or is ill-formed.
    #[error(
        "line {line}, column {column}: the JSON is broken ({what}); the file may be cut short: fetch it again"
    )]
    Syntax {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What the JSON reader said.
        what: String,
    },
    /// Text of an unknown kind.
    #[error("this is {found}, not a forecast Rimefold reads; {hint}")]
    Unknown {
        /// What it seems to be.
        found: String,
        /// What to do.
        hint: String,
    },
    /// A value at a place in a JSON file is not what it should be.
    #[error("{format}, at {path}: found {found}, expected {expected}")]
    Field {
        /// Name of the format.
        format: &'static str,
        /// Path of the value, such as `properties.temperature.values[3].value`.
        path: String,
        /// What stands there.
        found: String,
        /// What should stand there.
        expected: String,
    },
    /// A value in a row of a CSV file.
    #[error("line {line}, column {column}: found {found}, expected {expected}")]
    Row {
        /// Line, from 1.
        line: u64,
        /// Name of the column or its number.
        column: String,
        /// What stands there.
        found: String,
        /// What should stand there.
        expected: String,
    },
    /// No air temperature at all: the plan stands on it.
    #[error(
        "{format}: there is no air temperature in this forecast; a plan cannot be made without it"
    )]
    NoTemperature {
        /// Name of the format.
        format: &'static str,
    },
    /// A station record without a byte.
    #[error("the station record is empty; fetch or save it again")]
    EmptyRecord,
    /// Text that is no station record.
    #[error("this is {found}, not a station record that is read; {hint}")]
    NotARecord {
        /// What it seems to be.
        found: String,
        /// What to do.
        hint: String,
    },
    /// No temperature in a station record.
    #[error(
        "{format}: there is no minimum and no maximum in this record; fetch it again with TMIN and TMAX"
    )]
    NoDays {
        /// Name of the format.
        format: &'static str,
    },
    /// A station record that does not name its unit, and whose numbers fit two.
    #[error(
        "line 1, column minimum and maximum: no unit is named, and {count} values of {lowest} to {highest} fit more than one; expected a unit in the column's name, such as tmin_f, tmin_c or tmin_tenths_c"
    )]
    UnitUnknown {
        /// Lowest number in the file.
        lowest: f64,
        /// Highest number in the file.
        highest: f64,
        /// How many numbers.
        count: usize,
    },
}
