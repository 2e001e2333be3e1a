//! Rows of losses, snow brushed off, voles.

use rusqlite::{Connection, params};

use crate::diary::entry::{Sight, What};
use crate::diary::trouble::Trouble;
use crate::exit::Failure;

impl Sight {
    /// Its word and its share.
    pub fn parts(self) -> (&'static str, Option<f64>) {
        match self {
            Self::Loss(share) => ("loss", Some(share)),
            Self::SnowBrushed => ("snow-brushed", None),
            Self::Voles => ("voles", None),
        }
    }

    /// From its parts.
    pub fn of(word: &str, share: Option<f64>) -> Option<Self> {
        match (word, share) {
            ("loss", Some(share)) => Some(Self::Loss(share)),
            ("snow-brushed", None) => Some(Self::SnowBrushed),
            ("voles", None) => Some(Self::Voles),
            _ => None,
        }
    }
}

/// Writes the particulars of entry `number`.
pub fn insert(db: &Connection, number: i64, sight: Sight, bed: &str) -> Result<(), Trouble> {
    let (saw, share) = sight.parts();
    db.prepare_cached("INSERT INTO sighting (entry, saw, bed, share) VALUES (?, ?, ?, ?)")?
        .execute(params![number, saw, bed, share])?;
    Ok(())
}

/// Reads them.
pub fn load(db: &Connection, number: i64) -> Result<What, Trouble> {
    let mut query = db.prepare_cached("SELECT saw, bed, share FROM sighting WHERE entry = ?")?;
    let (saw, bed, share): (String, _, _) =
        query.query_row([number], |r| Ok((r.get(0)?, r.get(1)?, r.get(2)?)))?;
    let sight = Sight::of(&saw, share).ok_or_else(|| Failure::bug(&saw))?;
    Ok(What::Seen { sight, bed })
}
