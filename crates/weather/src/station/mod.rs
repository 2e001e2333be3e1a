//! Station records: bytes of daily minima and maxima in, whole days without holes and notices out.
//!
//! ```
//! let csv = b"date,tmin_f,tmax_f\n1990-05-01,31,60\n1990-05-03,35,NA\n";
//! let record = weather::station::read(csv)?;
//! let day = record.day(jiff::civil::date(1990, 5, 1)).expect("inside the record");
//! assert_eq!(day.tmin_c, Some(-0.6)); // kept in tenths of a degree
//! let hole = record.day(jiff::civil::date(1990, 5, 2)).expect("inside the record");
//! assert!(hole.tmin_c.is_none(), "what is missing stays missing");
//! # Ok::<(), weather::ReadError>(())
//! ```

pub mod calendar;
mod cells;
mod dly;
mod gather;
mod ghcn_rows;
mod headed;
pub mod homogeneity;
pub mod list;
mod record;
mod seasons;
mod unit;
mod uscrn;

pub use list::{Near, nearest};
pub(crate) use record::{ABSENT, celsius};
pub use record::{Day, Observed, Station, StationRecord, Tally};
pub use unit::Unit;

use crate::error::ReadError;

/// Reads a station record of any known kind, told apart by content.
///
/// Kinds: GHCN-Daily rows (`ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,OBS`), GHCN-Daily fixed width (`.dly`), GHCN access CSV,
/// USCRN hourly02 and daily01, and any daily CSV whose header names a date, a minimum and a maximum.
///
/// # Errors
/// [`ReadError`] names the line, the column, what was found, what was expected and what to do.
/// Checked by `station::every_bad_record_gives_its_one_message`.
pub fn read(bytes: &[u8]) -> Result<StationRecord, ReadError> {
    read_as(bytes, None)
}

/// As [`read`], with the unit of a CSV whose header does not name one.
///
/// # Errors
/// As [`read`].
pub fn read_as(bytes: &[u8], unit: Option<Unit>) -> Result<StationRecord, ReadError> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let Some((_, first)) = cells::lines(bytes).find(|(_, l)| !l.trim_ascii().is_empty()) else {
        return Err(ReadError::EmptyRecord);
    };
    let mut record = match first.trim_ascii_start()[0] {
        b'{' | b'[' | b'<' => {
            return Err(ReadError::NotARecord {
                found: "JSON or a web page".into(),
                hint: "save the station's daily file itself, as CSV or fixed-width text".into(),
            });
        }
        _ if dly::is(first) => dly::read(bytes)?,
        _ if ghcn_rows::is(first) => ghcn_rows::read(bytes)?,
        _ if uscrn::is(first) => uscrn::read(bytes)?,
        _ => headed::read(bytes, unit)?,
    };
    record.notices.extend(homogeneity::notice(&record));
    Ok(record)
}
