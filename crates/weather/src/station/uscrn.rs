//! USCRN text: hourly02 (38 columns, one row an hour) and daily01 (28 columns, one row a day), °C.
//!
//! hourly02: 1 WBAN, 4–5 local standard date and time at the END of the hour, 7–8 longitude and latitude, 11–12 highest
//! and lowest air temperature of the hour. daily01: 2 local date, 4–5 longitude and latitude, 6–7 maximum and minimum.
//! −9999 is missing. Source: the network's own description of its files, from memory; hourly02 checked against real years.

use super::cells::{date, digits, lines, missing, number, shown, wrong};
use super::gather::{End, Gather};
use super::record::{Station, StationRecord};
use super::unit::Unit;
use crate::constants::LEAST_HOURS_OF_DAY;
use crate::error::ReadError;
use crate::forecast::Notice;

/// Columns of a row of hours.
const HOURLY: usize = 38;
/// Columns of a row of days.
const DAILY: usize = 28;
fn cells(line: &[u8]) -> impl Iterator<Item = &[u8]> {
    line.split(|b| *b == b' ' || *b == b'\t').filter(|c| !c.is_empty())
}

/// Whether a line is of this network.
pub fn is(line: &[u8]) -> bool {
    let mut c = cells(line);
    let number =
        |c: Option<&[u8]>, n: usize| c.is_some_and(|c| c.len() == n && digits(c).is_some());
    number(c.next(), 5) && number(c.next(), 8) && c.count() >= 10
}

/// Where the wanted columns are.
struct Columns {
    count: usize,
    date: usize,
    longitude: usize,
    max: usize,
}

/// Reads the bytes.
pub fn read(bytes: &[u8]) -> Result<StationRecord, ReadError> {
    let mut rows = lines(bytes).filter(|(_, l)| !l.trim_ascii().is_empty()).peekable();
    let count = rows.peek().map_or(0, |(_, l)| cells(l).count());
    match count {
        HOURLY => hourly(rows),
        DAILY => daily(rows),
        _ => Err(ReadError::NotARecord {
            found: format!("USCRN text of {count} columns"),
            hint: "hourly02 (38 columns) and daily01 (28 columns) are read; fetch one of these"
                .into(),
        }),
    }
}

/// One row: identifier, day, minimum and maximum in hundredths, and the row's cells.
struct Row<'a> {
    cells: [&'a [u8]; HOURLY],
    day: i32,
    values: [Option<i32>; 2],
}

fn row<'a>(line: u64, text: &'a [u8], c: &Columns) -> Result<Row<'a>, ReadError> {
    let mut out = [&b""[..]; HOURLY];
    let mut count = 0;
    for (slot, cell) in out.iter_mut().zip(cells(text)) {
        *slot = cell;
        count += 1;
    }
    if count < c.count {
        let expected = format!("{} columns; the file may be cut short", c.count);
        return Err(wrong(line, "all", format!("{count} columns"), &expected));
    }
    let Some(day) = date(out[c.date]) else {
        let column = format!("{} (local date)", c.date + 1);
        return Err(wrong(line, &column, shown(out[c.date]), "a day such as 20180131"));
    };
    let mut values = [None; 2];
    for (value, at) in values.iter_mut().zip([c.max + 1, c.max]) {
        if missing(out[at]) {
            continue;
        }
        let Some(n) = number(out[at]) else {
            return Err(wrong(line, &(at + 1).to_string(), shown(out[at]), "°C, or -9999.0"));
        };
        *value = Some(n.value);
    }
    Ok(Row { cells: out, day, values })
}

fn station(first: Option<&Row<'_>>, longitude: usize) -> Station {
    let text = |i: usize| first.map(|r| String::from_utf8_lossy(r.cells[i]).into_owned());
    let degrees = |i: usize, most: f64| {
        text(i).and_then(|t| t.parse::<f64>().ok()).filter(|x| x.abs() <= most)
    };
    Station {
        id: text(0),
        longitude_deg: degrees(longitude, 180.0),
        latitude_deg: degrees(longitude + 1, 90.0),
        ..Station::default()
    }
}

fn daily<'a>(rows: impl Iterator<Item = (u64, &'a [u8])>) -> Result<StationRecord, ReadError> {
    let columns = Columns { count: DAILY, date: 1, longitude: 3, max: 5 };
    let mut gather = Gather::default();
    let mut first = None;
    for (line, text) in rows {
        let row = row(line, text, &columns)?;
        gather.day(row.day);
        for (end, value) in [End::Min, End::Max].into_iter().zip(row.values) {
            if let Some(v) = value {
                gather.put(row.day, end, v);
            }
        }
        gather.tally.observed.midnight += usize::from(row.values[0].is_some());
        first.get_or_insert(row);
    }
    let station = station(first.as_ref(), columns.longitude);
    gather.finish("USCRN daily01", station, Some(Unit::Celsius))
}

/// A day gathered from its hours.
#[derive(Clone, Copy)]
struct Hours {
    day: i32,
    min: i32,
    max: i32,
    count: u32,
}

fn hourly<'a>(rows: impl Iterator<Item = (u64, &'a [u8])>) -> Result<StationRecord, ReadError> {
    let columns = Columns { count: HOURLY, date: 3, longitude: 6, max: 10 };
    let mut gather = Gather::default();
    let mut first = None;
    let mut short = 0;
    let mut close = |gather: &mut Gather, h: Hours| {
        gather.day(h.day);
        if h.count >= LEAST_HOURS_OF_DAY {
            gather.put(h.day, End::Min, h.min);
            gather.put(h.day, End::Max, h.max);
            gather.tally.observed.midnight += 1;
        } else {
            short += 1;
        }
    };
    let mut open: Option<Hours> = None;
    for (line, text) in rows {
        let row = row(line, text, &columns)?;
        // The hour that ends at midnight belongs to the day before.
        let midnight = row.cells[columns.date + 1] == b"0000";
        let day = row.day - i32::from(midnight);
        if let Some(done) = open.filter(|h| h.day != day) {
            close(&mut gather, done);
            open = None;
        }
        let h = open.get_or_insert(Hours { day, min: i32::MAX, max: i32::MIN, count: 0 });
        if let [Some(min), Some(max)] = row.values {
            h.min = h.min.min(min);
            h.max = h.max.max(max);
            h.count += 1;
        }
        first.get_or_insert(row);
    }
    if let Some(done) = open {
        close(&mut gather, done);
    }
    if short > 0 {
        gather.notices.push(Notice(format!(
            "{short} days with fewer than {LEAST_HOURS_OF_DAY} measured hours are left out."
        )));
    }
    let station = station(first.as_ref(), columns.longitude);
    gather.finish("USCRN hourly02", station, Some(Unit::Celsius))
}
