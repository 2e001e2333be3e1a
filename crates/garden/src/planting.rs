//! What grows in a bed: a crop, how it was started, how far along it is, what it is worth.

use crate::crops::{CropId, Stage};
use crate::schema::words::worded;

/// One crop in one bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Planting {
    /// Which crop, by its place in the crop table.
    pub crop: CropId,
    /// Sown in place or set out.
    pub start: Start,
    /// How far along it is.
    pub stage: Stage,
    /// Whether it has met cold gradually: hardened off before setting out, or grown cold in place.
    pub hardened: bool,
    /// What the whole planting is worth at harvest, in the garden's own money.
    pub worth: f64,
    /// Height of the plants, m; from the crop table for this stage when the file is silent.
    pub height_m: f64,
    /// Share of the ground the leaves hide, 0 to 1; from the crop table when the file is silent.
    pub ground_cover: f64,
}

worded!(
    /// How a planting was started.
    pub enum Start {
        DirectSown = "direct-sown", "sown where it grows";
        Transplant = "transplant", "raised elsewhere and set out";
    }
);
