//! One forecast as a flat row, the same in CSV and JSON.

use serde::{Deserialize, Serialize};

use crate::digest::hex;
use crate::entry::InvalidValue;
use crate::exchange::file_row::{FileRow, moment};
use crate::forecasts::SavedForecast;
use crate::utc;

/// One forecast.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ForecastRow {
    sha256: String,
    source: String,
    issued: Option<String>,
    read_at: String,
    /// `text`, or `hex` for bytes that are no UTF-8.
    encoding: String,
    content: String,
}

impl FileRow for ForecastRow {
    type Item = SavedForecast;
    const FILE: &'static str = "forecasts.csv";
    const COLUMNS: &'static [&'static str] =
        &["sha256", "source", "issued", "read_at", "encoding", "content"];

    fn from_item(f: &SavedForecast) -> Self {
        let (encoding, content) = match std::str::from_utf8(&f.bytes) {
            Ok(text) => ("text", text.to_owned()),
            Err(_) => ("hex", hex(&f.bytes)),
        };
        Self {
            sha256: f.sha256.clone(),
            source: f.source.clone(),
            issued: f.issued.map(utc::format),
            read_at: utc::format(f.read_at),
            encoding: encoding.to_owned(),
            content,
        }
    }

    fn into_item(self) -> Result<SavedForecast, InvalidValue> {
        let bytes = match self.encoding.as_str() {
            "text" => self.content.into_bytes(),
            "hex" => unhex(&self.content).ok_or_else(|| {
                InvalidValue::new("content", "a text", "pairs of digits 0-9 and a-f")
            })?,
            other => return Err(InvalidValue::new("encoding", other, "text or hex")),
        };
        Ok(SavedForecast {
            sha256: self.sha256,
            source: self.source,
            issued: self.issued.map(|text| moment("issued", &text)).transpose()?,
            read_at: moment("read_at", &self.read_at)?,
            bytes,
        })
    }
}

fn unhex(text: &str) -> Option<Vec<u8>> {
    let pairs = text.as_bytes().chunks(2);
    pairs.map(|pair| u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok()).collect()
}
