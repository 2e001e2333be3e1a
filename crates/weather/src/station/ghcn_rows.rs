//! GHCN-Daily rows: `ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,OBS`, tenths of °C and millimetres of snow depth, with or
//! without a header.
//!
//! Q is the quality flag (any letter: refused), OBS the hour of reading (HHMM). Source: the network's own description of
//! its files, from memory.

use super::cells::{comma, date, digits, lines, missing, number, shown, wrong};
use super::gather::{End, Gather};
use super::record::{Station, StationRecord};
use super::unit::Unit;
use crate::error::ReadError;

const FORMAT: &str = "GHCN-Daily rows";

/// Whether a line is of this kind, a row or the header.
pub fn is(line: &[u8]) -> bool {
    let mut cells = comma(line);
    let (id, day, element) = (cells.next(), cells.next(), cells.next());
    let (Some(id), Some(day), Some(element)) = (id, day, element) else { return false };
    element.eq_ignore_ascii_case(b"ELEMENT")
        || (id.len() == 11 && digits(day).is_some() && day.len() == 8 && element.len() == 4)
}

/// Reads the bytes.
pub fn read(bytes: &[u8]) -> Result<StationRecord, ReadError> {
    let mut gather = Gather::default();
    let mut station: Option<&[u8]> = None;
    for (line, text) in lines(bytes).filter(|(_, l)| !l.trim_ascii().is_empty()) {
        let mut cells = [&b""[..]; 8];
        let mut count = 0;
        for (slot, cell) in cells.iter_mut().zip(comma(text)) {
            *slot = cell;
            count += 1;
        }
        let [id, day, element, value, _, quality, _, hour] = cells;
        if element.eq_ignore_ascii_case(b"ELEMENT") {
            continue;
        }
        if count < 4 {
            let expected = "ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,OBS; the file may be cut short";
            return Err(wrong(line, "all", format!("{count} cells"), expected));
        }
        if *station.get_or_insert(id) != id {
            let expected = "one station in a file; cut the file by station";
            return Err(wrong(line, "ID", shown(id), expected));
        }
        let end = match element {
            b"TMIN" => End::Min,
            b"TMAX" => End::Max,
            b"SNWD" => {
                let depth = number(value).filter(|_| quality.is_empty() && !missing(value));
                if let Some((day, depth)) = date(day).zip(depth) {
                    gather.put_snow(day, f64::from(depth.value) / 100.0);
                }
                continue;
            }
            _ => continue,
        };
        let Some(day) = date(day) else {
            return Err(wrong(line, "date", shown(day), "a day such as 19900501, 1700 to 2200"));
        };
        gather.day(day);
        if missing(value) {
            continue;
        }
        let Some(number) = number(value) else {
            return Err(wrong(line, "value", shown(value), "tenths of °C, or -9999"));
        };
        if !quality.is_empty() {
            gather.tally.flagged += 1;
            continue;
        }
        if let (End::Min, Some(hour)) = (end, digits(hour)) {
            gather.tally.observed.note(hour);
        }
        gather.put(day, end, number.value);
    }
    let id = station.map(|i| String::from_utf8_lossy(i).into_owned());
    gather.finish(FORMAT, Station { id, ..Station::default() }, Some(Unit::TenthsCelsius))
}
