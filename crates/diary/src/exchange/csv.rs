//! Everything as four CSV files: notes, forecasts, plans, and what plans said.

use csv::{ErrorKind, ReaderBuilder, StringRecord, WriterBuilder};

use crate::error::Error;
use crate::exchange::everything::Everything;
use crate::exchange::file_row::{FileRow, Placed};
use crate::exchange::forecast_row::ForecastRow;
use crate::exchange::note_row::NoteRow;
use crate::predictions::Prediction;
use crate::saved_plans::SavedPlan;

/// Most faults that are told at once.
const MOST: usize = 20;

/// Names of the files, in the order in which they are written and read.
pub const FILES: [&str; 4] = [NoteRow::FILE, ForecastRow::FILE, SavedPlan::FILE, Prediction::FILE];

/// A file that was given.
pub struct Given {
    /// Its name in [`FILES`].
    pub name: &'static str,
    /// As it is shown to the grower.
    pub shown: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// The files with their contents.
///
/// # Errors
/// A bug of ours.
pub fn write(all: &Everything) -> Result<[(&'static str, String); 4], Error> {
    Ok([
        (NoteRow::FILE, table::<NoteRow>(&all.notes)?),
        (ForecastRow::FILE, table::<ForecastRow>(&all.forecasts)?),
        (SavedPlan::FILE, table::<SavedPlan>(&all.plans)?),
        (Prediction::FILE, table::<Prediction>(&all.predictions)?),
    ])
}

fn table<R: FileRow>(items: &[Placed<R::Item>]) -> Result<String, Error> {
    let mut out = WriterBuilder::new().has_headers(false).from_writer(Vec::new());
    out.write_record(R::COLUMNS).map_err(Error::bug)?;
    for placed in items {
        out.serialize(R::from_item(&placed.item)).map_err(Error::bug)?;
    }
    let bytes = out.into_inner().map_err(Error::bug)?;
    quoted(&bytes)
}

/// Signs at which a spreadsheet takes a cell for something to run. Source: OWASP, CSV Injection.
const RUN: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];
/// Before it a spreadsheet takes a cell for text.
const TEXT: char = '\'';

/// Whether a spreadsheet would run a cell, or would once it had lost marks of ours.
fn is_run(cell: &str) -> bool {
    cell.trim_start_matches(TEXT).starts_with(RUN) && cell.parse::<f64>().is_err()
}

/// The table with a mark before every cell that a spreadsheet would run.
fn quoted(bytes: &[u8]) -> Result<String, Error> {
    let mut reader = ReaderBuilder::new().has_headers(false).from_reader(bytes);
    let mut out = WriterBuilder::new().from_writer(Vec::new());
    for row in reader.records() {
        let row = row.map_err(Error::bug)?;
        let marked = row
            .iter()
            .map(|cell| if is_run(cell) { format!("{TEXT}{cell}") } else { cell.to_owned() });
        out.write_record(marked).map_err(Error::bug)?;
    }
    String::from_utf8(out.into_inner().map_err(Error::bug)?).map_err(Error::bug)
}

/// A row without the marks that [`quoted`] set.
fn unquoted(row: &StringRecord) -> StringRecord {
    let plain = |cell: &str| match cell.strip_prefix(TEXT) {
        Some(rest) if is_run(rest) => rest.to_owned(),
        _ => cell.to_owned(),
    };
    let mut out: StringRecord = row.iter().map(plain).collect();
    out.set_position(row.position().cloned());
    out
}

/// Reads the files given.
///
/// # Errors
/// Every bad row up to twenty, with file, line, column and what was expected.
pub fn read(files: &[Given]) -> Result<Everything, Error> {
    let mut all = Everything::default();
    let mut faults = Vec::new();
    for Given { name, shown, bytes } in files {
        match *name {
            NoteRow::FILE => all.notes = rows::<NoteRow>(shown, bytes, &mut faults),
            ForecastRow::FILE => all.forecasts = rows::<ForecastRow>(shown, bytes, &mut faults),
            SavedPlan::FILE => all.plans = rows::<SavedPlan>(shown, bytes, &mut faults),
            Prediction::FILE => all.predictions = rows::<Prediction>(shown, bytes, &mut faults),
            _ => {}
        }
    }
    if faults.is_empty() {
        return Ok(all);
    }
    let more = faults.len().saturating_sub(MOST);
    faults.truncate(MOST);
    if more > 0 {
        faults.push(format!("and {more} more"));
    }
    faults.push("Nothing was taken in".to_owned());
    Err(Error::Unreadable(faults.join("\n")))
}

fn rows<R: FileRow>(shown: &str, bytes: &[u8], faults: &mut Vec<String>) -> Vec<Placed<R::Item>> {
    // Spreadsheets put a mark before UTF-8.
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let mut reader = ReaderBuilder::new().from_reader(bytes);
    let headers = match reader.headers() {
        Ok(headers) => headers.clone(),
        Err(e) => {
            faults.push(format!("{shown}: {e}"));
            return Vec::new();
        }
    };
    if let Some(unknown) = headers.iter().find(|h| !R::COLUMNS.contains(h)) {
        let columns = R::COLUMNS.join(", ");
        faults.push(format!(
            "{shown}, line 1: no column `{unknown}` is known, expected of: {columns}"
        ));
        return Vec::new();
    }
    let mut out = Vec::new();
    for record in reader.records() {
        match record {
            Ok(record) => {
                let line = record.position().map_or(0, csv::Position::line);
                let place = format!("{shown}, line {line}");
                match row::<R>(&unquoted(&record), &headers) {
                    Ok(item) => out.push(Placed { place, item }),
                    Err(why) => faults.push(format!("{place}, {why}")),
                }
            }
            Err(e) => {
                let line = e.position().map_or(0, csv::Position::line);
                faults.push(format!("{shown}, line {line}: {}", unreadable(&e)));
            }
        }
    }
    out
}

fn unreadable(e: &csv::Error) -> String {
    match e.kind() {
        ErrorKind::Utf8 { .. } => "expected text in UTF-8".to_owned(),
        ErrorKind::UnequalLengths { expected_len, len, .. } => {
            format!("found {len} values, expected {expected_len} as in the first line")
        }
        _ => e.to_string(),
    }
}

fn row<R: FileRow>(record: &StringRecord, headers: &StringRecord) -> Result<R::Item, String> {
    let row: R = record.deserialize(Some(headers)).map_err(|e| {
        let ErrorKind::Deserialize { err, .. } = e.kind() else { return e.to_string() };
        let field = err.field().and_then(|n| usize::try_from(n).ok());
        let column = field.and_then(|n| headers.get(n));
        let found = field.and_then(|n| record.get(n)).unwrap_or_default();
        match (column, err.kind()) {
            (Some(column), csv::DeserializeErrorKind::Message(m)) => {
                format!("column {column}: {m}")
            }
            (Some(column), csv::DeserializeErrorKind::ParseBool(_)) => {
                format!("column {column}: found `{found}`, expected true or false")
            }
            (Some(column), csv::DeserializeErrorKind::ParseInt(_)) => {
                format!("column {column}: found `{found}`, expected a whole number")
            }
            (Some(column), _) => format!("column {column}: found `{found}`, expected a number"),
            (None, kind) => kind.to_string(),
        }
    })?;
    row.into_item().map_err(|wrong| wrong.to_string())
}
