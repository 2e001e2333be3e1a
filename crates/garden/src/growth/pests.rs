//! Insects that nets keep off, and the degree-days at which they fly.

use std::sync::LazyLock;

use serde::Deserialize;

use super::degree_days::{Method, degree_days};
use crate::crops::{self, CropId};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    pest: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    name: String,
    crops: Vec<String>,
    base_f: Option<f64>,
    upper_f: Option<f64>,
    #[serde(default)]
    flies_f: Vec<f64>,
    source: String,
}

/// An insect that a net keeps off, if it is on before the insect flies and the insect is not already in the soil below.
#[derive(Clone, Debug, PartialEq)]
pub struct Pest {
    /// Name.
    pub name: &'static str,
    /// When its generations fly; `None` where no published figure was read.
    pub flights: Option<Flights>,
    /// Where this comes from.
    pub source: &'static str,
}

/// Degree-days of the daily mean from 1 January (1 July south of the equator) at which adults fly.
#[derive(Clone, Debug, PartialEq)]
pub struct Flights {
    /// Base, °C.
    pub base_c: f64,
    /// Upper, °C; infinite where none is given.
    pub upper_c: f64,
    /// Sums at which each generation flies, K·d, ascending.
    pub sums: Vec<f64>,
}

fn table() -> &'static Table {
    static TABLE: LazyLock<Table> = LazyLock::new(|| {
        toml::from_str(include_str!("pests.toml")).unwrap_or_else(|_| Table { pest: Vec::new() })
    });
    &TABLE
}

/// The insects that nets keep off a crop.
///
/// Checked by `growth::pests_fly_at_the_published_sums`.
#[must_use]
pub fn pests_of_crop(crop: CropId) -> Vec<Pest> {
    let name = crops::table_name(crop);
    table().pest.iter().filter(|r| r.crops.iter().any(|c| c == name)).map(pest).collect()
}

fn pest(r: &'static Row) -> Pest {
    let celsius = |f: f64| (f - 32.0) / 1.8;
    let flights = r.base_f.filter(|_| !r.flies_f.is_empty()).map(|base| Flights {
        base_c: celsius(base),
        upper_c: r.upper_f.map_or(f64::INFINITY, celsius),
        sums: r.flies_f.iter().map(|f| f / 1.8).collect(),
    });
    Pest { name: &r.name, flights, source: &r.source }
}

impl Flights {
    /// The place (from 0) of the day on which each generation flies, in days that begin where counting begins.
    ///
    /// `days` are minimum and maximum, °C; a day without both adds nothing. `None` where the days end before.
    #[must_use]
    pub fn days(&self, days: &[(Option<f64>, Option<f64>)]) -> Vec<Option<usize>> {
        let mut out = vec![None; self.sums.len()];
        let mut sum = 0.0;
        for (i, (tmin, tmax)) in days.iter().enumerate() {
            let (Some(tmin), Some(tmax)) = (tmin, tmax) else { continue };
            sum += degree_days(*tmin, *tmax, self.base_c, self.upper_c, Method::Average);
            for (date, at) in out.iter_mut().zip(&self.sums) {
                if date.is_none() && sum >= at - 1e-9 {
                    *date = Some(i);
                }
            }
        }
        out
    }
}
