//! Crops and small fruits: what cold, heat and darkness do to them, by stage.
//!
//! The numbers live in `table.toml`, each with the key of its source; `docs/crops.md` is made from it.
//!
//! | module | holds |
//! |---|---|
//! | [`hardening`] | how plants harden on cold days |
//! | `own` | a grower's own crops |
//! | `table`, [`mod@reference`] | the table, and docs/crops.md made from it |

pub mod hardening;
mod own;
pub mod reference;
mod table;

use crate::crops::own::own_row;
use crate::crops::table::{Row, table};

pub use own::{OwnCrop, own};

/// A crop: its place in the crop table, or after it among growers' own.
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

/// The five stages that every crop may have, with their words.
const PLAIN: [(&str, Stage); 5] = [
    ("seed bed", Stage::SeedBed),
    ("seedling", Stage::Seedling),
    ("transplant", Stage::Transplant),
    ("established", Stage::Established),
    ("mature", Stage::Mature),
];

/// Every crop of the table.
pub fn all() -> impl Iterator<Item = CropId> {
    (0..table().crop.len()).map(CropId)
}

/// The crop of that name or alias; case, spaces, hyphens and a plural s do not matter.
#[must_use]
pub fn find(name: &str) -> Option<CropId> {
    let wanted = plain(name);
    all().find(|id| row(*id).is_some_and(|r| r.words().any(|w| plain(w) == wanted)))
}

/// Whether two words name the same crop: case, spaces, hyphens and a plural s do not matter.
#[must_use]
pub fn same(one: &str, other: &str) -> bool {
    plain(one) == plain(other)
}

/// Every name and alias, for suggestions.
#[must_use]
pub fn names() -> Vec<&'static str> {
    table().crop.iter().flat_map(Row::words).collect()
}

/// What else a crop is called.
#[must_use]
pub fn aliases(crop: CropId) -> Vec<&'static str> {
    row(crop).map_or_else(Vec::new, |r| r.words().skip(1).collect())
}

/// The crop's name.
#[must_use]
pub fn name(crop: CropId) -> &'static str {
    row(crop).map_or("?", |r| &r.name)
}

/// The stages that apply to a crop, with their words.
#[must_use]
pub fn stages(crop: CropId) -> Vec<(&'static str, Stage)> {
    let Some(row) = row(crop) else { return Vec::new() };
    let plain_stages = PLAIN.into_iter().filter(|(_, s)| row.cold(*s, 0.0).is_some());
    let bloom = row.bloom.iter().enumerate();
    plain_stages.chain(bloom.map(|(i, b)| (b.stage.as_str(), Stage::Bloom(i as u8)))).collect()
}

/// The stage of that word.
#[must_use]
pub fn find_stage(crop: CropId, word: &str) -> Option<Stage> {
    stages(crop).into_iter().find(|(w, _)| plain(w) == plain(word)).map(|(_, s)| s)
}

/// The word of a stage.
#[must_use]
pub fn stage_word(crop: CropId, stage: Stage) -> &'static str {
    stages(crop).into_iter().find(|(_, s)| *s == stage).map_or("?", |(w, _)| w)
}

/// The cold limits of a crop at a stage by the grower's word for how it was raised; `None` where the stage does not apply
/// to the crop.
#[must_use]
pub fn cold_limits(crop: CropId, stage: Stage, hardened: bool) -> Option<ColdLimits> {
    limits_at(crop, stage, hardness(hardened))
}

/// The cold limits of a crop at a stage and a hardness, 0 to 1; see [`hardening`].
///
/// T10 and T90 run straight between tender (0), hardened (½) and, for grown leaves, winter (1). Bloom does not harden.
/// Checked by `hardening::limits_pass_through_their_three_rows`.
/// Equation 91 of docs/science.md.
#[must_use]
pub fn limits_at(crop: CropId, stage: Stage, hardness: f64) -> Option<ColdLimits> {
    row(crop)?.cold(stage, hardness)
}

/// Hardness by the grower's word alone.
#[must_use]
pub fn hardness(hardened: bool) -> f64 {
    if hardened { hardening::HARDENED } else { 0.0 }
}

/// How fast a crop hardens at a stage, winter wheat 1; `None` for what cold days do not harden.
#[must_use]
pub fn hardening_speed(crop: CropId, stage: Stage) -> Option<f64> {
    row(crop)?.hardens.filter(|_| !matches!(stage, Stage::SeedBed | Stage::Bloom(_)))
}

/// Usual height, m, and share of the ground hidden at a stage (from memory).
#[must_use]
pub fn size(crop: CropId, stage: Stage) -> (f64, f64) {
    let Some(r) = row(crop) else { return (0.1, 0.2) };
    let [height, cover] = r.grown;
    match stage {
        Stage::SeedBed => (0.01, 0.02),
        Stage::Seedling => ((0.2 * height).clamp(0.03, 0.08), 0.1),
        Stage::Transplant => ((0.4 * height).clamp(0.08, 0.3), 0.2),
        Stage::Established => (0.7 * height, 0.7 * cover),
        Stage::Mature | Stage::Bloom(_) => (height, cover),
    }
}

/// Air temperature above which the crop stops setting, bolts or scorches, °C.
#[must_use]
pub fn heat_limit_c(crop: CropId) -> f64 {
    row(crop).map_or(32.0, |r| r.heat_c)
}

/// Dose of cold below 12 °C, frost or none, that takes a tenth and nine tenths, K h; `None` for what no chill harms.
#[must_use]
pub fn chill_dose_k_h(crop: CropId) -> Option<[f64; 2]> {
    row(crop)?.chill
}

/// Whether flowers at this stage need insects.
#[must_use]
pub fn needs_bees(crop: CropId, stage: Stage) -> bool {
    row(crop).is_some_and(|r| match stage {
        Stage::Bloom(i) => r.bloom.get(usize::from(i)).is_some_and(|b| b.bees),
        Stage::Mature => r.bees_when_mature,
        _ => false,
    })
}

/// Highest freezing point, °C: no ice forms above it, so no frost harms. Of the harvested produce (USDA Handbook 66), 0 where
/// none is listed: pure water. How far below it the living plant is harmed is for [`limits_at`] to say.
#[must_use]
pub fn freezing_point_c(crop: CropId) -> f64 {
    row(crop).and_then(|r| r.freezing_c).unwrap_or(0.0)
}

/// Base temperature of its growing degree-days, °C.
#[must_use]
pub fn gdd_base_c(crop: CropId) -> Option<f64> {
    row(crop)?.gdd_base_f.map(|f| (f - 32.0) / 1.8)
}

/// Usual days to maturity, least and most.
#[must_use]
pub fn days_to_maturity(crop: CropId) -> Option<[u32; 2]> {
    row(crop)?.days
}

/// Whether it is a small tree or bush that a sheet is draped over.
#[must_use]
pub fn is_tree(crop: CropId) -> bool {
    row(crop).is_some_and(|r| r.tree)
}

/// Whether loose straw over the plants may do for a night: seedlings and beds low enough (common practice, no source).
#[must_use]
pub fn mulch_may_do(crop: CropId, stage: Stage) -> bool {
    !is_tree(crop)
        && matches!(stage, Stage::SeedBed | Stage::Seedling | Stage::Transplant)
        && size(crop, stage).0 <= 0.12
}

/// Name of the crop of the table that a crop is, or is like.
#[must_use]
pub(crate) fn table_name(crop: CropId) -> &'static str {
    row(crop).map_or("?", |r| r.like.as_deref().unwrap_or(&r.name))
}

fn row(crop: CropId) -> Option<&'static Row> {
    let own = crop.0.checked_sub(table().crop.len());
    own.map_or_else(|| table().crop.get(crop.0), own_row)
}

/// A word without case, spaces, hyphens and plural.
fn plain(word: &str) -> String {
    let w: String = word.to_lowercase().chars().filter(|c| c.is_alphanumeric()).collect();
    for (plural, single) in [("ies", "y"), ("oes", "o"), ("shes", "sh"), ("ss", "ss"), ("s", "")] {
        if let Some(stem) = w.strip_suffix(plural) {
            return format!("{stem}{single}");
        }
    }
    w
}
