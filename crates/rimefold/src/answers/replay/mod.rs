//! Every night of past years on this garden, and what each way of deciding would have made of them.

pub mod json;
mod kept;
pub mod text;

use std::path::Path;

use garden::Garden;
use history::constants::ERROR_DRAWS;
use history::replay::score::{Scores, scores};
use history::replay::{MODEL, Year, run_batch};
use history::years::{GrowingSeason, RunStats, Simulation, growing_season};
use weather::StationRecord;

use crate::answers::kept_results::Place;
use crate::answers::progress::Progress;
use crate::exit::{Exit, Failure};
use crate::format::count;
use crate::outside::files;
use kept::Kept;

/// The answer, which text and JSON both render.
pub struct Replayed {
    /// The garden.
    pub garden: Garden,
    /// Name or identifier of the station, where its file gives one.
    pub station: Option<String>,
    /// When each planting stood.
    pub seasons: Vec<GrowingSeason>,
    /// The years.
    pub years: Vec<Year>,
    /// What they came to.
    pub scores: Scores,
    /// Proof and effort.
    pub stats: RunStats,
    /// Seed of what was drawn.
    pub seed: u64,
    /// Years of the record that were asked for and left out for want of days.
    pub left_out: usize,
}

/// Where the results of the years `asked` of a record's bytes on the garden in a file are kept.
pub fn place(
    garden_file: &Path,
    record: &[u8],
    asked: (i16, i16),
    seed: u64,
) -> Result<Place, Failure> {
    let rest = format!("{} {MODEL} {asked:?} {seed} {ERROR_DRAWS}", env!("CARGO_PKG_VERSION"));
    Ok(Place::new(garden_file, "replay", &[&files::read(garden_file)?, record, rest.as_bytes()]))
}

/// Replays the years asked for, batch by batch, each kept as soon as it is done.
pub fn replay_years(
    garden: Garden,
    record: &StationRecord,
    asked: (i16, i16),
    seed: u64,
    place: &Place,
    progress: &(dyn Fn(usize, usize) + Sync),
    aside: &mut Vec<String>,
) -> Result<Replayed, Failure> {
    let seasons = growing_season::by_hardiness(&garden, record);
    let simulation = Simulation::new(&garden, record, &seasons, asked.0..=asked.1, seed)
        .map_err(|e| Failure::from_fault(&e, Exit::Unsuitable))?;
    let before = files::read(&place.path).ok();
    let mut before = before.and_then(|b| Kept::read(&b, &place.key)).unwrap_or_default();
    let mut kept = Kept::default();
    let batches: Vec<&[i16]> = simulation.batches().collect();
    let parts = |batch: &[i16]| simulation.kinds.len() + batch.len() * ERROR_DRAWS as usize;
    let progress = Progress::new(batches.iter().map(|b| parts(b)).sum(), progress);
    for batch in batches {
        if let Some(done) = before.take(batch) {
            kept.blocks.push(done);
            (0..parts(batch)).for_each(|_| progress.step());
            continue;
        }
        let done = run_batch(&simulation, batch, ERROR_DRAWS, &|| progress.step())
            .map_err(|e| Failure::from_fault(&e, Exit::Unsuitable))?;
        kept.blocks.push(done.into());
        if let Err(e) = files::replace(&place.path, kept.write(&place.key)) {
            aside.push(format!("(results are not kept: {})", e.message));
        }
    }
    let years = kept.years();
    let scores =
        scores(&years, seed).ok_or_else(|| Failure::new(Exit::Bug, "no years to score"))?;
    let station = record.station.name.clone().or_else(|| record.station.id.clone());
    let held = record.years();
    let inside = (asked.0.max(*held.start())..=asked.1.min(*held.end())).count();
    let left_out = inside.saturating_sub(years.len());
    Ok(Replayed { garden, station, seasons, years, scores, stats: kept.stats(), seed, left_out })
}

impl Replayed {
    /// `1991 to 2020`.
    pub fn span(&self) -> String {
        match (self.years.first(), self.years.last()) {
            (Some(a), Some(b)) if a.year != b.year => format!("{} to {}", a.year, b.year),
            (Some(a), _) => a.year.to_string(),
            _ => count(0, "year"),
        }
    }

    /// Bed-nights that stood, were too warm to matter, and whose weather is not known, over all years.
    pub fn counted(&self) -> [u64; 3] {
        std::array::from_fn(|i| self.years.iter().map(|y| u64::from(y.counted[i])).sum())
    }
}
