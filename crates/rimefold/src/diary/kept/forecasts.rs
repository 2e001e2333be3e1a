//! Forecasts as they were read, byte for byte, compressed; the same bytes are kept once.

use std::io::{Read as _, Write as _};

use flate2::Compression;
use flate2::read::GzDecoder;
use flate2::write::GzEncoder;
use quantities::Moment;
use rusqlite::{Connection, Row, params};

use crate::diary::Diary;
use crate::diary::trouble::Trouble;
use crate::digest::sha256;
use crate::exit::{Exit, Failure};

/// A forecast as it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptForecast {
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
pub fn insert(db: &Connection, f: &KeptForecast) -> Result<(), Trouble> {
    if sha256(&f.bytes) != f.sha256 {
        let message = format!("forecast {}: its bytes are not those of its SHA-256", f.sha256);
        return Err(Failure::new(Exit::Diary, message).into());
    }
    let mut gz = GzEncoder::new(Vec::new(), Compression::default());
    let packed = gz.write_all(&f.bytes).and_then(|()| gz.finish()).map_err(Failure::bug)?;
    db.prepare_cached(
        "INSERT INTO forecast (sha256, source, issued, read_at, gz) VALUES (?, ?, ?, ?, ?)",
    )?
    .execute(params![f.sha256, f.source, f.issued.map(|m| m.0), f.read_at.0, packed])?;
    Ok(())
}

const SELECT: &str = "SELECT sha256, source, issued, read_at, gz FROM forecast";

fn row(row: &Row<'_>) -> rusqlite::Result<(KeptForecast, Vec<u8>)> {
    let forecast = KeptForecast {
        sha256: row.get(0)?,
        source: row.get(1)?,
        issued: row.get::<_, Option<i64>>(2)?.map(Moment),
        read_at: Moment(row.get(3)?),
        bytes: Vec::new(),
    };
    Ok((forecast, row.get(4)?))
}

fn whole((mut forecast, gz): (KeptForecast, Vec<u8>)) -> Result<KeptForecast, Trouble> {
    let unpacked = GzDecoder::new(gz.as_slice()).read_to_end(&mut forecast.bytes);
    unpacked.map_err(|e| {
        let message = format!("the kept forecast {} is damaged: {e}", forecast.sha256);
        Failure::new(Exit::Diary, message)
    })?;
    Ok(forecast)
}

/// Every forecast in the order kept.
pub fn all(db: &Connection) -> Result<Vec<KeptForecast>, Trouble> {
    let mut query = db.prepare_cached(&format!("{SELECT} ORDER BY number"))?;
    let rows: Vec<_> = query.query_map([], row)?.collect::<Result<_, _>>()?;
    rows.into_iter().map(whole).collect()
}

/// Whether the forecast of that SHA-256 is kept.
pub fn there(db: &Connection, sha256: &str) -> Result<bool, Trouble> {
    Ok(db.prepare_cached("SELECT 1 FROM forecast WHERE sha256 = ?")?.exists([sha256])?)
}

impl Diary {
    /// The bytes of the forecast of that digest, where it is kept.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn forecast_bytes(&self, sha256: &str) -> Result<Option<Vec<u8>>, Failure> {
        self.read(|db| Ok(all(db)?.into_iter().find(|f| f.sha256 == sha256).map(|f| f.bytes)))
    }
}
