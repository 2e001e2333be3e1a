//! Flat rows: what a row of a file must tell of itself, and the forecast as one.

use serde::de::{DeserializeOwned, Error as _};
use serde::{Deserialize, Deserializer, Serialize};

use crate::diary::entry::Wrong;
use crate::diary::exchange::notes::moment;
use crate::diary::kept::KeptForecast;
use crate::diary::stamp;
use crate::digest::hex;

/// A row of a file.
pub trait Flat: Serialize + DeserializeOwned {
    /// What it stands for.
    type Item;
    /// Name of its CSV file.
    const FILE: &'static str;
    /// Its columns in order.
    const COLUMNS: &'static [&'static str];

    /// The row of an item.
    fn of(item: &Self::Item) -> Self;

    /// The item of a row.
    ///
    /// # Errors
    /// The first value that will not do.
    fn item(self) -> Result<Self::Item, Wrong>;
}

/// An item read through its row, so that a JSON reader tells the line of a wrong value.
pub struct Checked<R: Flat>(pub R::Item);

impl<'de, R: Flat> Deserialize<'de> for Checked<R> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        R::deserialize(from)?.item().map(Self).map_err(D::Error::custom)
    }
}

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

impl Flat for ForecastRow {
    type Item = KeptForecast;
    const FILE: &'static str = "forecasts.csv";
    const COLUMNS: &'static [&'static str] =
        &["sha256", "source", "issued", "read_at", "encoding", "content"];

    fn of(f: &KeptForecast) -> Self {
        let (encoding, content) = match std::str::from_utf8(&f.bytes) {
            Ok(text) => ("text", text.to_owned()),
            Err(_) => ("hex", hex(&f.bytes)),
        };
        Self {
            sha256: f.sha256.clone(),
            source: f.source.clone(),
            issued: f.issued.map(stamp::write),
            read_at: stamp::write(f.read_at),
            encoding: encoding.to_owned(),
            content,
        }
    }

    fn item(self) -> Result<KeptForecast, Wrong> {
        let bytes = match self.encoding.as_str() {
            "text" => self.content.into_bytes(),
            "hex" => unhex(&self.content)
                .ok_or_else(|| Wrong::new("content", "a text", "pairs of digits 0-9 and a-f"))?,
            other => return Err(Wrong::new("encoding", other, "text or hex")),
        };
        Ok(KeptForecast {
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
