//! Our own plain hourly CSV, documented in `docs/formats.md`.
//!
//! One row an hour, `time` at the start of the hour: RFC 3339 with an offset, or local time where a comment line
//! `# zone = America/Chicago` names an IANA zone. A column's unit is in its name; an empty cell is unknown.

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use quantities::{Meaning, Moment, Reading};

use crate::constants::WIND_HEIGHT_M;
use crate::error::ReadError;
use crate::forecast::Forecast;
use crate::timeline::{Quantity as Q, Timeline};
use crate::units::conversion;

const FORMAT: &str = "hourly CSV";

/// Column, quantity, unit, meaning.
pub const COLUMNS: [(&str, Q, &str, Meaning); 17] = [
    ("air_temperature_c", Q::AirTemperature, "C", Meaning::Mean),
    ("air_temperature_f", Q::AirTemperature, "F", Meaning::Mean),
    ("dew_point_c", Q::DewPoint, "C", Meaning::Mean),
    ("dew_point_f", Q::DewPoint, "F", Meaning::Mean),
    ("relative_humidity_pct", Q::RelativeHumidity, "%", Meaning::Mean),
    ("wind_speed_m_s", Q::WindSpeed, "m/s", Meaning::Mean),
    ("wind_speed_km_h", Q::WindSpeed, "km/h", Meaning::Mean),
    ("wind_speed_mph", Q::WindSpeed, "mph", Meaning::Mean),
    ("wind_gust_m_s", Q::WindGust, "m/s", Meaning::Maximum),
    ("wind_gust_km_h", Q::WindGust, "km/h", Meaning::Maximum),
    ("wind_gust_mph", Q::WindGust, "mph", Meaning::Maximum),
    ("cloud_pct", Q::Cloud, "%", Meaning::Mean),
    ("shortwave_w_m2", Q::Shortwave, "W/m²", Meaning::Mean),
    ("precipitation_mm", Q::Precipitation, "mm", Meaning::Sum),
    ("precipitation_in", Q::Precipitation, "in", Meaning::Sum),
    ("snowfall_cm", Q::Snowfall, "cm", Meaning::Sum),
    ("snowfall_in", Q::Snowfall, "in", Meaning::Sum),
];

/// Reads the text.
///
/// # Errors
/// [`ReadError`].
pub fn read(text: &str) -> Result<Forecast, ReadError> {
    refuse_endless(text)?;
    let zone = zone(text)?;
    let mut reader = ::csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(::csv::Trim::All)
        .from_reader(text.as_bytes());
    let header = reader.headers().map_err(broken)?.clone();
    let columns = columns(&header)?;
    let mut timeline = Timeline::default();
    let mut last: Option<Moment> = None;
    for record in reader.records() {
        let record = record.map_err(broken)?;
        let line = record.position().map_or(0, ::csv::Position::line);
        let cell = record.get(0).unwrap_or_default();
        let row = |column: &str, found: String, expected: String| ReadError::Row {
            line,
            column: column.to_owned(),
            found,
            expected,
        };
        let start = time(cell, zone.as_ref(), last)
            .map_err(|expected| row("time", short(cell), expected))?;
        if last.is_some_and(|l| start <= l) {
            let expected = "a time later than the one in the row before".to_owned();
            return Err(row("time", short(cell), expected));
        }
        last = Some(start);
        for (i, (name, quantity, unit, meaning)) in columns.iter().enumerate() {
            let cell = record.get(i + 1).unwrap_or_default();
            if cell.is_empty() {
                continue;
            }
            let number = cell.parse::<f64>().ok().filter(|x| x.is_finite()).ok_or_else(|| {
                row(name, short(cell), "a number, or nothing where it is unknown".into())
            })?;
            let (factor, offset) = conversion(*quantity, unit).unwrap_or((1.0, 0.0));
            timeline
                .put(start, *quantity, Reading::given(number * factor + offset, *meaning))
                .map_err(|r| row(name, r.found, r.expected))?;
        }
    }
    let mut notices = Vec::new();
    let hours = timeline.finish(FORMAT, &mut notices)?;
    Ok(Forecast {
        source: FORMAT,
        issued: None,
        place: None,
        wind_height_m: WIND_HEIGHT_M,
        hours,
        notices,
    })
}

/// Longest line of a forecast, bytes, and most lines: forty days and their comments are a tenth of it.
const LONGEST_LINE: usize = 4000;
const MOST_LINES: usize = 20_000;

/// Refuses at once what would keep the reader busy.
fn refuse_endless(text: &str) -> Result<(), ReadError> {
    let endless = |(n, line): &(usize, &str)| line.len() > LONGEST_LINE || *n == MOST_LINES;
    let Some((number, line)) = text.lines().enumerate().find(endless) else { return Ok(()) };
    let long = line.len() > LONGEST_LINE;
    let found = if long { format!("{} characters", line.len()) } else { "more rows".into() };
    let expected = match long {
        true => format!("at most {LONGEST_LINE} characters in a line"),
        false => format!("at most {MOST_LINES} lines"),
    };
    Err(ReadError::Row { line: number as u64 + 1, column: "all".into(), found, expected })
}

type Column = (&'static str, Q, &'static str, Meaning);

fn columns(header: &::csv::StringRecord) -> Result<Vec<Column>, ReadError> {
    if header.get(0) != Some("time") {
        let found: String = header.get(0).unwrap_or_default().chars().take(40).collect();
        return Err(ReadError::Unknown {
            found: format!("text that begins with `{found}`"),
            hint: "a CSV forecast begins with a header whose first column is `time`; see docs/formats.md".into(),
        });
    }
    let mut columns: Vec<Column> = Vec::new();
    for name in header.iter().skip(1) {
        let Some(column) = COLUMNS.iter().find(|c| c.0 == name) else {
            let nearest = COLUMNS
                .iter()
                .min_by_key(|c| distance(c.0, name))
                .map_or("air_temperature_c", |c| c.0);
            return Err(ReadError::Row {
                line: 1,
                column: short(name).trim_matches('`').to_owned(),
                found: format!("an unknown column {}", short(name)),
                expected: format!("`{nearest}` perhaps; the columns are listed in docs/formats.md"),
            });
        };
        if columns.iter().any(|c| c.1 == column.1) {
            return Err(ReadError::Row {
                line: 1,
                column: name.to_owned(),
                found: "the same quantity twice".into(),
                expected: format!("one column of {}", column.1.bounds().quantity),
            });
        }
        columns.push(*column);
    }
    Ok(columns)
}

/// A cell in quotes, no longer than a person reads.
fn short(cell: &str) -> String {
    match cell.char_indices().nth(60) {
        Some((end, _)) => format!("`{}…`", &cell[..end]),
        None => format!("`{cell}`"),
    }
}

/// Edit distance of two short words; of a long one, of its beginning.
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().take(60).collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.chars().take(60).enumerate() {
        let mut corner = i;
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let next = (corner + usize::from(x != *y)).min(row[j] + 1).min(row[j + 1] + 1);
            corner = row[j + 1];
            row[j + 1] = next;
        }
    }
    row.last().copied().unwrap_or(0)
}

fn zone(text: &str) -> Result<Option<TimeZone>, ReadError> {
    for (i, line) in text.lines().enumerate() {
        let Some(name) = line.trim_start_matches('#').trim().strip_prefix("zone = ") else {
            continue;
        };
        if !line.starts_with('#') {
            continue;
        }
        return TimeZone::get(name.trim()).map(Some).map_err(|_| ReadError::Row {
            line: i as u64 + 1,
            column: "zone".into(),
            found: format!("`{}`", name.trim()),
            expected: "an IANA zone such as America/Chicago or Europe/Paris".into(),
        });
    }
    Ok(None)
}

/// A moment from a cell. In the hour that autumn repeats, the second row of the same local time is the later one.
fn time(cell: &str, zone: Option<&TimeZone>, last: Option<Moment>) -> Result<Moment, String> {
    if let Ok(t) = cell.parse::<Timestamp>() {
        return Ok(Moment(t.as_second()));
    }
    let Some(zone) = zone else {
        return Err(
            "a time with its offset, such as 2027-05-14T20:00-05:00, or a `# zone =` line".into()
        );
    };
    let local: DateTime =
        cell.parse().map_err(|_| "a local time such as 2027-05-14T20:00".to_owned())?;
    let ambiguous = zone.to_ambiguous_zoned_datetime(local);
    let seconds = |later: bool| {
        let zoned = if later { ambiguous.clone().later() } else { ambiguous.clone().earlier() };
        zoned.map(|z| Moment(z.timestamp().as_second())).map_err(|e| e.to_string())
    };
    let earlier = seconds(false)?;
    if last.is_some_and(|l| earlier <= l) { seconds(true) } else { Ok(earlier) }
}

fn broken(e: ::csv::Error) -> ReadError {
    let line = e.position().map_or(1, ::csv::Position::line);
    let found = match e.kind() {
        ::csv::ErrorKind::UnequalLengths { expected_len, len, .. } => {
            return ReadError::Row {
                line,
                column: "all".into(),
                found: format!("{len} cells"),
                expected: format!("{expected_len} cells, as many as the header has"),
            };
        }
        other => format!("{other:?}"),
    };
    ReadError::Row { line, column: "all".into(), found, expected: "comma-separated cells".into() }
}
