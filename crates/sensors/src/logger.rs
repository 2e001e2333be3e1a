//! The file of a logger: CSV whose columns are found by their headings and units.

use jiff::tz::TimeZone;
use quantities::Moment;

use crate::constants::HEADING_WITHIN;
use crate::dates::{self, Dates, Order, Told};
use crate::{Reading, Unit};

/// What is known of a file beside its text.
#[derive(Clone, Debug)]
pub struct Known {
    /// The garden's zone, of times that name none.
    pub zone: TimeZone,
    /// Unit, where the grower says it.
    pub unit: Option<Unit>,
    /// Order of the dates, where the grower says it.
    pub order: Option<Order>,
    /// Heading of the temperature, where the grower says it.
    pub column: Option<String>,
}

/// A file as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct File {
    /// Its readings, in the order of the file.
    pub readings: Vec<Reading>,
    /// Rows without a temperature.
    pub empty: usize,
    /// Heading of the column that was taken.
    pub column: String,
    /// Its unit.
    pub unit: Unit,
}

/// Why a file could not be read, or what must be asked.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum LoggerError {
    /// No heading.
    #[error(
        "no row of the first {HEADING_WITHIN} has a column for date or time and one for temperature; a logger's file has a heading such as “date,temperature (°C)”"
    )]
    NoHeading,
    /// Several columns could be the temperature.
    #[error(
        "line {line}: several columns could be the temperature: {columns}; say which with “column”"
    )]
    WhichColumn {
        /// Line, from 1.
        line: u64,
        /// Their headings.
        columns: String,
    },
    /// The named column is not there.
    #[error("line {line}: there is no column “{column}”; there are {columns}")]
    NoColumn {
        /// Line, from 1.
        line: u64,
        /// What was asked for.
        column: String,
        /// The headings.
        columns: String,
    },
    /// No unit.
    #[error("line {line}: “{column}” does not say whether it is °C or °F; say it with “unit”")]
    WhichUnit {
        /// Line, from 1.
        line: u64,
        /// Heading.
        column: String,
    },
    /// Dates that may be read in two ways.
    #[error(
        "line {line}: “{date}” may be read in two ways; say “day first” or “month first” with “dates”"
    )]
    WhichDate {
        /// Line, from 1.
        line: u64,
        /// The first such date.
        date: String,
    },
    /// Dates in both orders.
    #[error(
        "some dates have the day first and some the month; the file mixes two orders: export it again"
    )]
    MixedDates,
    /// A cell.
    #[error("line {line}, column {column}: found {found}, expected {expected}")]
    Cell {
        /// Line, from 1.
        line: u64,
        /// Heading.
        column: String,
        /// What stands there.
        found: String,
        /// What should.
        expected: &'static str,
    },
    /// Nothing in it.
    #[error("the file has a heading and no readings below it")]
    Empty,
}

/// The columns of a file.
struct Columns {
    line: u64,
    heads: Vec<String>,
    date: usize,
    time: Option<usize>,
    temperature: usize,
    unit: Unit,
}

/// One row that may hold a reading.
struct Row {
    line: u64,
    when: String,
    number: String,
}

/// Reads a logger's file.
///
/// Columns are parted by commas, semicolons or tabs; rows before the heading are passed over. A decimal comma is read where
/// columns are parted by something else. Checked by `logger::files_as_loggers_write_them` and
/// `logger::what_cannot_be_told_is_asked`.
///
/// # Errors
/// [`LoggerError`].
pub fn read(bytes: &[u8], known: &Known) -> Result<File, LoggerError> {
    let text = String::from_utf8_lossy(bytes);
    let text = text.trim_start_matches('\u{feff}');
    let mut found = Err(LoggerError::NoHeading);
    for delimiter in [b',', b';', b'\t'] {
        let rows = records(text, delimiter);
        match columns(&rows, known) {
            Ok(columns) => return readings(&rows, delimiter, &columns, known),
            // What is wrong with a heading that was found says more than that there is none.
            Err(e) if found == Err(LoggerError::NoHeading) => found = Err(e),
            Err(_) => {}
        }
    }
    found
}

fn records(text: &str, delimiter: u8) -> Vec<(u64, Vec<String>)> {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let line = |r: &csv::StringRecord| r.position().map_or(0, csv::Position::line);
    let rows = reader.records().filter_map(Result::ok);
    rows.map(|r| (line(&r), r.iter().map(str::to_owned).collect())).collect()
}

/// The heading among the first rows.
fn columns(rows: &[(u64, Vec<String>)], known: &Known) -> Result<Columns, LoggerError> {
    for (line, heads) in rows.iter().take(HEADING_WITHIN) {
        let lower: Vec<String> = heads.iter().map(|h| h.to_lowercase()).collect();
        let is = |i: usize, words: &[&str]| words.iter().any(|w| lower[i].contains(w));
        let all = 0..heads.len();
        let whole = all.clone().find(|i| {
            is(*i, &["timestamp", "datetime"]) || (is(*i, &["date"]) && is(*i, &["time"]))
        });
        let date = whole.or_else(|| all.clone().find(|i| is(*i, &["date"])));
        let time = all.clone().find(|i| is(*i, &["time"]));
        let Some(first) = date.or(time) else { continue };
        let time = time.filter(|t| whole.is_none() && *t != first);
        let warm = |i: &usize| {
            *i != first
                && Some(*i) != time
                && is(*i, &["temp", "°c", "°f", "celsius", "fahrenheit"])
        };
        let candidates: Vec<usize> = all.clone().filter(warm).collect();
        let names = |of: &[usize]| {
            of.iter().map(|i| format!("“{}”", heads[*i])).collect::<Vec<_>>().join(", ")
        };
        let temperature = match (&known.column, candidates.as_slice()) {
            (Some(wanted), _) => {
                let same = |i: &usize| heads[*i].eq_ignore_ascii_case(wanted.trim());
                all.clone().find(same).ok_or_else(|| LoggerError::NoColumn {
                    line: *line,
                    column: wanted.clone(),
                    columns: names(&all.clone().collect::<Vec<_>>()),
                })?
            }
            (None, []) => continue,
            (None, [one]) => *one,
            (None, several) => {
                return Err(LoggerError::WhichColumn { line: *line, columns: names(several) });
            }
        };
        let unit = known.unit.or_else(|| unit_of(&lower[temperature]));
        let column = heads[temperature].clone();
        let unit = unit.ok_or(LoggerError::WhichUnit { line: *line, column })?;
        return Ok(Columns {
            line: *line,
            heads: heads.clone(),
            date: first,
            time,
            temperature,
            unit,
        });
    }
    Err(LoggerError::NoHeading)
}

/// The unit that a heading in small letters names.
fn unit_of(heading: &str) -> Option<Unit> {
    let says = |word: &str, letter: char| {
        let marks = [
            format!("°{letter}"),
            format!("({letter})"),
            format!("[{letter}]"),
            format!("º{letter}"),
        ];
        let ends = [format!("_{letter}"), format!(" {letter}"), format!("temp{letter}")];
        heading.contains(word)
            || marks.iter().any(|m| heading.contains(m))
            || ends.iter().any(|e| heading.ends_with(e.as_str()))
    };
    match (says("celsius", 'c'), says("fahrenheit", 'f')) {
        (true, false) => Some(Unit::Celsius),
        (false, true) => Some(Unit::Fahrenheit),
        _ => None,
    }
}

fn readings(
    rows: &[(u64, Vec<String>)],
    delimiter: u8,
    columns: &Columns,
    known: &Known,
) -> Result<File, LoggerError> {
    let mut empty = 0;
    let mut kept: Vec<Row> = Vec::new();
    for (line, cells) in rows.iter().filter(|r| r.0 > columns.line) {
        let cell = |i: usize| cells.get(i).map_or("", String::as_str);
        let when = match columns.time {
            Some(time) => format!("{} {}", cell(columns.date), cell(time)),
            None => cell(columns.date).to_owned(),
        };
        let number = cell(columns.temperature).to_owned();
        if number.is_empty() {
            empty += usize::from(!when.trim().is_empty());
            continue;
        }
        kept.push(Row { line: *line, when, number });
    }
    let order = match known.order {
        Some(order) => Some(order),
        None => match dates::order_told(kept.iter().map(|r| r.when.as_str())) {
            Told::NotNeeded => None,
            Told::By(order) => Some(order),
            Told::Both => return Err(LoggerError::MixedDates),
            Told::Neither => {
                let first = kept
                    .first()
                    .map_or((columns.line, String::new()), |r| (r.line, r.when.clone()));
                return Err(LoggerError::WhichDate { line: first.0, date: first.1 });
            }
        },
    };
    let head = &columns.heads[columns.date];
    let zone = dates::zone_of_heading(head).unwrap_or_else(|| known.zone.clone());
    let dates = Dates { zone, order };
    let mut out = Vec::with_capacity(kept.len());
    let mut before: Option<Moment> = None;
    for row in &kept {
        let at = dates::moment(&row.when, &dates, before).ok_or_else(|| LoggerError::Cell {
            line: row.line,
            column: head.clone(),
            found: shown(&row.when),
            expected: "a date and a time, such as 2027-05-14 03:00",
        })?;
        let celsius = number(&row.number, delimiter).map(|x| columns.unit.celsius(x));
        let celsius = celsius.ok_or_else(|| LoggerError::Cell {
            line: row.line,
            column: columns.heads[columns.temperature].clone(),
            found: shown(&row.number),
            expected: "a temperature",
        })?;
        before = Some(at);
        out.push(Reading { at, celsius });
    }
    if out.is_empty() {
        return Err(LoggerError::Empty);
    }
    let column = columns.heads[columns.temperature].clone();
    Ok(File { readings: out, empty, column, unit: columns.unit })
}

/// A number, with a unit behind it or not.
fn number(text: &str, delimiter: u8) -> Option<f64> {
    let bare = text.trim_end_matches(|c: char| c.is_alphabetic() || matches!(c, '°' | 'º' | ' '));
    let bare = bare.replace('−', "-");
    let bare = if delimiter == b',' { bare } else { bare.replace(',', ".") };
    bare.parse::<f64>().ok().filter(|x| x.is_finite())
}

/// A cell as an error shows it.
fn shown(cell: &str) -> String {
    let short: String = cell.trim().chars().take(40).collect();
    format!("“{short}”")
}
