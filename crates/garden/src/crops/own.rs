//! A grower's own crops: each like a crop of the table, but for what the grower knows better.

use std::sync::{PoisonError, RwLock};

use super::table::{Row, table};
use super::{CropId, row};

/// A crop of the garden file.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnCrop {
    /// What the grower calls it.
    pub name: String,
    /// What it is like in everything that is not said.
    pub like: CropId,
    /// Tissue temperature at which a tenth of grown plants, not hardened, is lost in half an hour, °C.
    pub tenth_lost_c: Option<f64>,
    /// The same for nine tenths.
    pub most_lost_c: Option<f64>,
    /// Air temperature above which it suffers, °C.
    pub heat_limit_c: Option<f64>,
}

impl OwnCrop {
    /// T10 and T90 of grown plants, not hardened, °C: its own, or those of what it is like; `None` where that has none.
    #[must_use]
    pub fn limits_c(&self) -> Option<(f64, f64)> {
        let [t10, t90, ..] = row(self.like)?.grown_limits()?;
        Some((self.tenth_lost_c.unwrap_or(t10), self.most_lost_c.unwrap_or(t90)))
    }
}

/// Rows of own crops, each distinct one kept once for as long as the program runs: a handle to it stays good.
static ROWS: RwLock<Vec<&'static Row>> = RwLock::new(Vec::new());

/// The handle of an own crop; the same for the same crop.
///
/// What its limits differ by from those of what it is like moves its limits at every age alike; bloom stages stay.
/// Checked by `own_crops::own_limits_move_every_age`.
#[must_use]
pub fn own(crop: &OwnCrop) -> CropId {
    let Some(like) = row(crop.like) else { return crop.like };
    let mut new = like.clone();
    new.like.get_or_insert_with(|| like.name.clone());
    new.name.clone_from(&crop.name);
    new.also.clear();
    new.heat_c = crop.heat_limit_c.unwrap_or(like.heat_c);
    if let (Some([t10, t90, ..]), Some((own10, own90))) = (like.grown_limits(), crop.limits_c()) {
        new.move_limits(own10 - t10, own90 - t90);
        if (own10, own90) != (t10, t90) {
            "own".clone_into(&mut new.source);
        }
    }
    let mut rows = ROWS.write().unwrap_or_else(PoisonError::into_inner);
    let at = rows.iter().position(|r| **r == new).unwrap_or_else(|| {
        rows.push(Box::leak(Box::new(new)));
        rows.len() - 1
    });
    CropId(table().crop.len() + at)
}

/// The row of an own crop, by its place after the crops of the table.
pub fn own_row(at: usize) -> Option<&'static Row> {
    ROWS.read().unwrap_or_else(PoisonError::into_inner).get(at).copied()
}
