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

#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    pub name: String,
    #[serde(default)]
    pub also: Vec<String>,
    /// Of an own crop, the crop of the table that it is like.
    #[serde(skip)]
    pub like: Option<String>,
    /// Height, m, and ground hidden when grown (from memory).
    pub grown: [f64; 2],
    pub heat_c: f64,
    /// Dose below 12 °C that takes a tenth and nine tenths, K h.
    pub chill: Option<[f64; 2]>,
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
    /// Speed of hardening, winter wheat 1.
    pub hardens: Option<f64>,
    /// [T10, T90] in °C of grown leaves, fully hardened.
    pub winter: Option<[f64; 2]>,
    pub source: String,
    #[serde(default)]
    pub bloom: Vec<Bloom>,
}

#[derive(Clone, Debug, PartialEq, Deserialize)]
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

    /// Limits at a stage and a hardness, 0 to 1: straight between tender (0), hardened (½) and winter (1).
    pub fn cold(&'static self, stage: Stage, hardness: f64) -> Option<ColdLimits> {
        let (four, winter) = match stage {
            // Seed that has not come up is as warm as the soil and takes what its seedlings take, and 2 K more (from memory).
            Stage::SeedBed => (self.seedling.map(|four| four.map(|t| t - 2.0)), None),
            Stage::Seedling => (self.seedling, None),
            Stage::Transplant => (self.transplant, None),
            Stage::Established => (self.established, self.winter),
            Stage::Mature => (self.mature, self.winter.filter(|_| self.mature == self.established)),
            Stage::Bloom(i) => {
                let b = self.bloom.get(usize::from(i))?;
                let c = |f: f64| (f - 32.0) / 1.8;
                return Some(ColdLimits {
                    t10_c: c(b.t10_f),
                    t90_c: c(b.t90_f),
                    source: cite(&b.source),
                });
            }
        };
        let [tender10, tender90, hard10, hard90] = four?;
        let [winter10, winter90] = winter.unwrap_or([hard10, hard90]);
        let between = |tender: f64, hard: f64, winter: f64| {
            let a = 2.0 * hardness.clamp(0.0, 1.0);
            if a < 1.0 { tender + (hard - tender) * a } else { hard + (winter - hard) * (a - 1.0) }
        };
        Some(ColdLimits {
            t10_c: between(tender10, hard10, winter10),
            t90_c: between(tender90, hard90, winter90),
            source: cite(&self.source),
        })
    }

    /// Limits of grown plants as the table has them.
    pub fn grown_limits(&self) -> Option<[f64; 4]> {
        self.established.or(self.mature).or(self.transplant).or(self.seedling)
    }

    /// Moves T10 and T90 of every age.
    pub fn move_limits(&mut self, t10_k: f64, t90_k: f64) {
        let ages =
            [&mut self.seedling, &mut self.transplant, &mut self.established, &mut self.mature];
        for [a, b, c, d] in ages.into_iter().flatten() {
            (*a, *b, *c, *d) = (*a + t10_k, *b + t90_k, *c + t10_k, *d + t90_k);
        }
        if let Some([a, b]) = &mut self.winter {
            (*a, *b) = (*a + t10_k, *b + t90_k);
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
