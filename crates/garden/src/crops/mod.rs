//! Crops and small fruits: what cold, heat and darkness do to them, by stage.

/// A crop's place in the crop table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct CropId(pub usize);

/// How far along a planting is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Stage {
    /// Sown, nothing above ground yet.
    SeedBed,
    /// Up, with seed leaves to a few true leaves.
    Seedling,
    /// Set out within the last two or three weeks.
    Transplant,
    /// Growing on its own roots.
    Established,
    /// Of harvest size.
    Mature,
    /// In a bloom stage, numbered in the order of the crop's own list of bloom stages.
    Bloom(u8),
}

/// What cold does to tissue at one stage, hardened or not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ColdLimits {
    /// Tissue temperature at which a tenth is lost after 30 minutes, °C.
    pub t10_c: f64,
    /// Tissue temperature at which nine tenths are lost after 30 minutes, °C.
    pub t90_c: f64,
    /// Where the two numbers come from.
    pub source: &'static str,
}

/// The cold limits of a crop at a stage; `None` where the stage does not apply to the crop.
#[must_use]
pub fn cold_limits(crop: CropId, stage: Stage, hardened: bool) -> Option<ColdLimits> {
    let _ = (crop, stage, hardened);
    None
}
