//! The growth table as it stands in `table.toml`, read once.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

/// What the days of a crop count from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Start {
    /// Sown where it grows, or for raising.
    Sown,
    /// Set out as a transplant.
    #[serde(rename = "set out")]
    SetOut,
    /// Planted as clove, tuber or slip.
    Planted,
    /// In full bloom.
    Bloom,
}

/// What of a crop is carried over winter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Carry {
    /// Leaves or stems.
    Tops,
    /// Root, bulb or crown.
    Roots,
    /// Both.
    Both,
    /// Leaves to pick, and a crown from which they come again: the plant lives while that does.
    Crown,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    crop: Vec<Row>,
}

/// One crop's row; `table.toml` says what each number is.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    pub name: String,
    pub start: Option<Start>,
    pub days: Option<[u32; 2]>,
    pub at: Option<f64>,
    pub base_f: Option<f64>,
    pub upper: f64,
    pub raise: Option<f64>,
    pub set_out: Option<[u32; 2]>,
    pub pick: f64,
    pub light: Option<f64>,
    pub mol: Option<f64>,
    #[serde(default)]
    pub hot: bool,
    pub cold: Option<[f64; 2]>,
    #[serde(default)]
    pub sets: bool,
    pub night: Option<[f64; 2]>,
    #[serde(default)]
    pub autumn: bool,
    pub carry: Option<Carry>,
    pub root: Option<f64>,
    pub lies: Option<f64>,
}

/// The row of that name.
pub fn row(name: &str) -> Option<&'static Row> {
    static TABLE: LazyLock<Table> = LazyLock::new(|| {
        toml::from_str(include_str!("table.toml")).unwrap_or_else(|_| Table { crop: Vec::new() })
    });
    TABLE.crop.iter().find(|r| r.name == name)
}
