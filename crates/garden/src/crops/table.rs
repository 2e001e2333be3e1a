//! The crop table as it stands in `table.toml`, read once.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::crops::{ColdLimits, Stage};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Table {
    pub source: Vec<Source>,
    pub crop: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    pub key: String,
    pub cite: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    pub name: String,
    #[serde(default)]
    pub also: Vec<String>,
    /// Height, m, and ground hidden when grown (from memory).
    pub grown: [f64; 2],
    pub heat_c: f64,
    pub chill_c: Option<f64>,
    pub freezing_c: Option<f64>,
    pub gdd_base_f: Option<f64>,
    pub days: Option<[u32; 2]>,
    #[serde(default)]
    pub tree: bool,
    #[serde(default)]
    pub bees_when_mature: bool,
    /// [T10, T90] in °C, tender then hardened, by stage.
    pub seedling: Option<[f64; 4]>,
    pub transplant: Option<[f64; 4]>,
    pub established: Option<[f64; 4]>,
    pub mature: Option<[f64; 4]>,
    pub source: String,
    #[serde(default)]
    pub bloom: Vec<Bloom>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bloom {
    pub stage: String,
    pub t10_f: f64,
    pub t90_f: f64,
    pub source: String,
    #[serde(default)]
    pub bees: bool,
}

impl Row {
    pub fn words(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.name.as_str()).chain(self.also.iter().map(String::as_str))
    }

    pub fn cold(&'static self, stage: Stage, hardened: bool) -> Option<ColdLimits> {
        let four = |f: Option<[f64; 4]>| {
            f.map(|[a, b, c, d]| {
                let (t10_c, t90_c) = if hardened { (c, d) } else { (a, b) };
                ColdLimits { t10_c, t90_c, source: cite(&self.source) }
            })
        };
        match stage {
            // Seed that has not come up is as warm as the soil and takes what its seedlings take, and 2 K more (from memory).
            Stage::SeedBed => four(self.seedling).map(|c| ColdLimits {
                t10_c: c.t10_c - 2.0,
                t90_c: c.t90_c - 2.0,
                ..c
            }),
            Stage::Seedling => four(self.seedling),
            Stage::Transplant => four(self.transplant),
            Stage::Established => four(self.established),
            Stage::Mature => four(self.mature),
            Stage::Bloom(i) => {
                let b = self.bloom.get(usize::from(i))?;
                let c = |f: f64| (f - 32.0) / 1.8;
                Some(ColdLimits { t10_c: c(b.t10_f), t90_c: c(b.t90_f), source: cite(&b.source) })
            }
        }
    }
}

fn cite(key: &str) -> &'static str {
    table().source.iter().find(|s| s.key == key).map_or("?", |s| &s.cite)
}

/// The table.
pub fn table() -> &'static Table {
    static TABLE: LazyLock<Table> = LazyLock::new(|| {
        toml::from_str(include_str!("table.toml"))
            .unwrap_or_else(|_| Table { source: Vec::new(), crop: Vec::new() })
    });
    &TABLE
}
