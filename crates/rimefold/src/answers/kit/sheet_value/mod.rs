//! What sheets would have saved over the station's past, beside the kit: where the record is found, and what is run.

pub mod json;
pub mod text;

use std::path::{Path, PathBuf};

use garden::Garden;
use history::sheet_value::{Error, Past, SheetValue};
use history::years::growing_season;
use milp::Microlp;
use purchase::kit::Settings;

use crate::answers::progress::Progress;
use crate::answers::station;
use crate::exit::{Exit, Failure};
use crate::outside::files;

/// What is said of the past.
pub struct Estimate {
    /// The numbers.
    pub worth: SheetValue,
    /// Name or identifier of the station, where its file gives one.
    pub station: Option<String>,
}

/// What the command line asks of the past.
pub struct Asked<'a> {
    /// A named record; else the one beside the garden.
    pub station: Option<&'a PathBuf>,
    /// Its years.
    pub years: Option<(i16, i16)>,
}

/// Seed of the forecasts' errors, the one that `replay` uses unless told otherwise.
const SEED: u64 = 1;

/// The estimate; `None` where there is no record. A record that lies beside the garden and does not serve is remarked on and
/// leaves the kit as it is; one that was named is a failure.
pub fn estimate(
    path: &Path,
    garden: &Garden,
    settings: Settings,
    asked: &Asked<'_>,
    progress: &(dyn Fn(usize, usize) + Sync),
    aside: &mut Vec<String>,
) -> Result<Option<Estimate>, Failure> {
    let Some(station) = asked.station.cloned().or_else(|| files::station(path)) else {
        return Ok(None);
    };
    match of_record(&station, garden, settings, asked.years, progress) {
        Ok(estimate) => Ok(Some(estimate)),
        Err(e) if e.code != Exit::Bug && asked.station.is_none() && asked.years.is_none() => {
            aside.push(format!("(what sheets would have saved is not said: {})", e.message));
            Ok(None)
        }
        Err(e) => Err(e),
    }
}

fn of_record(
    path: &Path,
    garden: &Garden,
    settings: Settings,
    years: Option<(i16, i16)>,
    progress: &(dyn Fn(usize, usize) + Sync),
) -> Result<Estimate, Failure> {
    let record = station::read(path, garden)?;
    let last = *record.years().end();
    let (from, to) = years.unwrap_or((last.saturating_sub(station::USUAL_YEARS), last));
    let seasons = growing_season::by_hardiness(garden, &record);
    let mut past = Past::new(garden, &record, &seasons, (from..=to, SEED), settings)
        .map_err(|e| failure(&e))?;
    // The last step weighs what to buy.
    let batches = past.batches();
    let progress = Progress::new(batches.len() * past.parts() + 1, progress);
    for batch in &batches {
        past.run(batch, &|| progress.step()).map_err(|e| failure(&e))?;
    }
    let worth = past.answer(&Microlp).map_err(|e| failure(&e));
    progress.step();
    let name = record.station.name.clone().or_else(|| record.station.id.clone());
    Ok(Estimate { worth: worth?, station: name })
}

fn failure(e: &Error) -> Failure {
    Failure::from_fault(e, Exit::Unsuitable)
}
