//! What a row of a file must tell of itself, and how items come through their rows.

use quantities::Moment;
use serde::de::{DeserializeOwned, Error as _};
use serde::{Deserialize, Deserializer, Serialize};

use crate::entry::InvalidValue;
use crate::id::{self, Id};
use crate::utc;

/// A row of a file.
pub trait FileRow: Serialize + DeserializeOwned {
    /// What it stands for.
    type Item;
    /// Name of its CSV file.
    const FILE: &'static str;
    /// Its columns in order.
    const COLUMNS: &'static [&'static str];

    /// The row of an item.
    fn from_item(item: &Self::Item) -> Self;

    /// The item of a row.
    ///
    /// # Errors
    /// The first value that will not do.
    fn into_item(self) -> Result<Self::Item, InvalidValue>;
}

/// An item read through its row, so that a JSON reader tells the line of a wrong value.
pub struct Checked<R: FileRow>(pub R::Item);

impl<'de, R: FileRow> Deserialize<'de> for Checked<R> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        R::deserialize(from)?.into_item().map(Self).map_err(D::Error::custom)
    }
}

/// Something read from a file, and where it stood.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed<T> {
    /// File and line, or place in a list.
    pub place: String,
    /// What.
    pub item: T,
}

/// A moment in a column.
pub(crate) fn moment(column: &'static str, text: &str) -> Result<Moment, InvalidValue> {
    utc::parse(text).ok_or_else(|| InvalidValue::new(column, text, utc::EXPECTED))
}

/// An id in a column.
pub(crate) fn id(column: &'static str, text: Option<&str>) -> Result<Id, InvalidValue> {
    let text = text.unwrap_or_default();
    Id::try_from(text.to_owned()).map_err(|_| InvalidValue::new(column, text, id::EXPECTED))
}

/// A share in a column.
pub(crate) fn share(column: &'static str, share: Option<f64>) -> Result<(), InvalidValue> {
    match share {
        Some(share) if !(0.0..=1.0).contains(&share) => {
            Err(InvalidValue::new(column, share, "0 to 1"))
        }
        _ => Ok(()),
    }
}
