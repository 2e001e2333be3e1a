//! The years of beds, kept in the garden folder under all that they were made from: what did not change is not worked out again.

use std::collections::BTreeMap;
use std::path::Path;

use garden::Garden;
use history::replay::MODEL;
use history::year::{BedYear, Past};
use history::years::RunStats;
use serde::{Deserialize, Serialize};

use super::Question;
use crate::answers::kept_results::{Place, key};
use crate::exit::Failure;
use crate::outside::files;

/// By the name of all that beds share ([`name`]), what was worked out for them.
#[derive(Default, Serialize, Deserialize)]
pub struct Kept(BTreeMap<String, Alike>);

/// Beds that are one to the physics.
#[derive(Clone, Serialize, Deserialize)]
pub struct Alike {
    pub stats: RunStats,
    pub beds: Vec<BedYear>,
}

/// The file for a record's bytes and a question, whatever the garden.
pub fn place(garden_file: &Path, record: &[u8], asked: &Question) -> Place {
    let Question { years, only, risk, seed } = asked;
    let version = env!("CARGO_PKG_VERSION");
    let rest = format!("{version} {MODEL} {years:?} {only:?} {risk} {seed}");
    Place::new(garden_file, "year", &[record, rest.as_bytes()])
}

/// A name for these beds of a garden with all that their year depends on.
pub fn name(garden: &Garden, beds: &[usize]) -> String {
    let of: Vec<_> = beds.iter().filter_map(|b| garden.beds.get(*b).cloned()).collect();
    let only = Garden { beds: of, ..garden.clone() };
    key(&[format!("{beds:?} {only:?}").as_bytes()])
}

fn headline(place: &Place, body: &str) -> String {
    format!("rimefold year, layout 1, inputs {}, body {}", place.key, key(&[body.as_bytes()]))
}

impl Kept {
    /// What was kept there; nothing where the file is not exactly as it was written.
    pub fn read(place: &Place) -> Self {
        let text = files::read(&place.path).ok().and_then(|b| String::from_utf8(b).ok());
        let text = text.unwrap_or_default();
        let Some((first, body)) = text.split_once('\n') else { return Self::default() };
        let as_written = first == headline(place, body);
        as_written.then(|| serde_json::from_str(body).ok()).flatten().unwrap_or_default()
    }

    /// What was kept for the beds that are one with `bed`, where it still is a year of theirs.
    pub fn of(&self, past: &Past, bed: usize) -> Option<Alike> {
        let alike = past.alike(bed)?;
        let kept = self.0.get(&name(past.garden(), alike))?.clone();
        let same = kept.beds.iter().map(|b| &b.bed).eq(alike);
        let beds = kept.beds.into_iter().map(|b| b.filled_in(past)).collect::<Option<_>>()?;
        same.then_some(Alike { beds, ..kept })
    }

    /// Keeps the years of a garden's beds, these alone.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn write(place: &Place, garden: &Garden, all: &[Alike]) -> Result<(), Failure> {
        let named = |a: &Alike| {
            let beds: Vec<usize> = a.beds.iter().map(|b| b.bed).collect();
            (name(garden, &beds), a.clone())
        };
        let body = serde_json::to_string(&Self(all.iter().map(named).collect()))
            .map_err(|e| Failure::bug(e.to_string()))?;
        files::replace(&place.path, format!("{}\n{body}", headline(place, &body)))
    }
}
