//! Forecasts as they were read, byte for byte, compressed; the same bytes are kept once.

use crate::database::Diary;
use std::io::{Read as _, Write as _};

use flate2::Compression;
use flate2::read::GzDecoder;
use flate2::write::GzEncoder;
use quantities::Moment;
use rusqlite::{Connection, OptionalExtension as _, Row, params};

use crate::digest::sha256;
use crate::error::{DatabaseError, Error, damaged};

/// Largest forecast, bytes; more is never read in.
const LARGEST: u64 = 64 * 1024 * 1024;

/// A forecast as it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SavedForecast {
    /// SHA-256 of its bytes, 64 hexadecimal digits.
    pub sha256: String,
    /// Name of the format it came in.
    pub source: String,
    /// When it was issued, if it says so.
    pub issued: Option<Moment>,
    /// When it was first read.
    pub read_at: Moment,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// Keeps a forecast; its bytes must be those of its name.
///
/// # Errors
/// They are not, or what SQLite says.
pub(crate) fn keep(db: &Connection, f: &SavedForecast) -> Result<(), DatabaseError> {
    if sha256(&f.bytes) != f.sha256 {
        let message = format!("forecast {}: its bytes are not those of its SHA-256", f.sha256);
        return Err(Error::Unreadable(message).into());
    }
    let mut gz = GzEncoder::new(Vec::new(), Compression::default());
    let packed = gz.write_all(&f.bytes).and_then(|()| gz.finish()).map_err(Error::bug)?;
    db.prepare_cached(
        "INSERT INTO forecast (sha256, source, issued, read_at, gz) VALUES (?, ?, ?, ?, ?)",
    )?
    .execute(params![f.sha256, f.source, f.issued.map(|m| m.0), f.read_at.0, packed])?;
    Ok(())
}

const SELECT: &str = "SELECT sha256, source, issued, read_at, gz FROM forecast";

fn row(row: &Row<'_>) -> rusqlite::Result<(SavedForecast, Vec<u8>)> {
    let forecast = SavedForecast {
        sha256: row.get(0)?,
        source: row.get(1)?,
        issued: row.get::<_, Option<i64>>(2)?.map(Moment),
        read_at: Moment(row.get(3)?),
        bytes: Vec::new(),
    };
    Ok((forecast, row.get(4)?))
}

fn whole((mut forecast, gz): (SavedForecast, Vec<u8>)) -> Result<SavedForecast, DatabaseError> {
    // A few bytes can unpack into all the memory there is.
    let unpacked = GzDecoder::new(gz.as_slice()).take(LARGEST).read_to_end(&mut forecast.bytes);
    unpacked.map_err(|e| damaged(format!("the kept forecast {}: {e}", forecast.sha256)))?;
    Ok(forecast)
}

/// Every forecast in the order kept.
pub(crate) fn all(db: &Connection) -> Result<Vec<SavedForecast>, DatabaseError> {
    let mut query = db.prepare_cached(&format!("{SELECT} ORDER BY number"))?;
    let rows: Vec<_> = query.query_map([], row)?.collect::<Result<_, _>>()?;
    rows.into_iter().map(whole).collect()
}

/// The forecast in the row of that number.
pub(crate) fn numbered(db: &Connection, number: i64) -> Result<SavedForecast, DatabaseError> {
    let mut query = db.prepare_cached(&format!("{SELECT} WHERE number = ?"))?;
    whole(query.query_row([number], row)?)
}

/// Whether the forecast of that SHA-256 is kept.
pub(crate) fn there(db: &Connection, sha256: &str) -> Result<bool, DatabaseError> {
    Ok(db.prepare_cached("SELECT 1 FROM forecast WHERE sha256 = ?")?.exists([sha256])?)
}

impl Diary {
    /// The bytes of the forecast of that digest, where it is kept.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn forecast_bytes(&self, sha256: &str) -> Result<Option<Vec<u8>>, Error> {
        self.read(|db| {
            let mut query = db.prepare_cached(&format!("{SELECT} WHERE sha256 = ?"))?;
            let found = query.query_row([sha256], row).optional()?;
            Ok(found.map(whole).transpose()?.map(|f| f.bytes))
        })
    }
}
