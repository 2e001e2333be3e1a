//! GHCN-Daily fixed width (`.dly`): one line a month and element, 269 characters.
//!
//! Columns: 1–11 station, 12–15 year, 16–17 month, 18–21 element, then 31 times value (5), measurement, quality and
//! source flag (1 each); −9999 is missing; tenths of °C, millimetres of snow. Source: the network's own description of its files, from memory;
//! checked against six real lines by `station::the_fixed_width_sample_reads`.

use super::calendar::checked;
use super::cells::{digits, lines, missing, number, shown, wrong};
use super::gather::{End, Gather};
use super::record::{Station, StationRecord};
use super::unit::Unit;
use crate::error::ReadError;

const FORMAT: &str = "GHCN-Daily fixed width";

/// Whether a line is of this kind.
pub fn is(line: &[u8]) -> bool {
    line.len() >= 29
        && line[..11].iter().all(u8::is_ascii_alphanumeric)
        && digits(&line[11..17]).is_some()
        && line[17..21].iter().all(u8::is_ascii_alphanumeric)
        && line[17].is_ascii_alphabetic()
}

/// Reads the bytes.
pub fn read(bytes: &[u8]) -> Result<StationRecord, ReadError> {
    let mut gather = Gather::default();
    let mut id: Option<&[u8]> = None;
    for (line, text) in lines(bytes).filter(|(_, l)| !l.trim_ascii().is_empty()) {
        if !is(text) {
            let expected = "a line of 269 characters: station, year and month, element, 31 days";
            return Err(wrong(line, "1", shown(text), expected));
        }
        if *id.get_or_insert(&text[..11]) != &text[..11] {
            let expected = "one station in a file; cut the file by station";
            return Err(wrong(line, "1-11 (station)", shown(&text[..11]), expected));
        }
        let end = match &text[17..21] {
            b"TMIN" => Some(End::Min),
            b"TMAX" => Some(End::Max),
            b"SNWD" => None,
            _ => continue,
        };
        month(&mut gather, line, text, end)?;
    }
    let id = id.map(|i| String::from_utf8_lossy(i).into_owned());
    gather.finish(FORMAT, Station { id, ..Station::default() }, Some(Unit::TenthsCelsius))
}

/// The days of a line: an end of the day's temperatures, or the depth of snow.
fn month(gather: &mut Gather, line: u64, text: &[u8], end: Option<End>) -> Result<(), ReadError> {
    let (year, month) = (digits(&text[11..15]).unwrap_or(0), digits(&text[15..17]).unwrap_or(0));
    if checked(year, month, 1).is_none() {
        let expected = "a year from 1700 to 2200 and a month from 01 to 12";
        return Err(wrong(line, "12-17 (year and month)", shown(&text[11..17]), expected));
    }
    for k in 0..31 {
        let at = 21 + 8 * k;
        // Trailing blanks may be cut off; a day that is not there is missing.
        let Some(cell) = text.get(at..at + 5).map(<[u8]>::trim_ascii) else { break };
        let Some(day) = checked(year, month, k as i32 + 1) else { continue };
        gather.day(day);
        if missing(cell) {
            continue;
        }
        let Some(value) = number(cell) else {
            let column = format!("{}-{} (day {})", at + 1, at + 5, k + 1);
            return Err(wrong(line, &column, shown(cell), "tenths of °C, or -9999"));
        };
        match end {
            _ if text.get(at + 6).is_some_and(|q| *q != b' ') => gather.tally.flagged += 1,
            Some(end) => gather.put(day, end, value.value),
            None => gather.put_snow(day, f64::from(value.value) / 100.0),
        }
    }
    Ok(())
}
