//! `rimefold replay`: every night of past years on this garden, and what each way of deciding would have made of them.

mod json;
mod kept;
mod text;

use std::path::{Path, PathBuf};

use garden::Garden;
use history::replay::score::{Scores, scores};
use history::replay::{MODEL, Year, run_batch};
use history::years::{Error, GrowingSeason, RunStats, Simulation, growing_season};
use weather::StationRecord;

use crate::cli::{Output, check};
use crate::exit::{Exit, Failure};
use crate::format::count;
use crate::outside::{files, terminal};
use kept::Kept;

#[derive(clap::Args, Debug)]
pub struct Args {
    /// Folder of the garden, or its garden.toml
    #[arg(default_value = ".")]
    garden: PathBuf,
    /// Daily station record; else station.csv or station.dly beside the garden
    #[arg(long, value_name = "FILE")]
    station: Option<PathBuf>,
    /// Years to replay, such as 1991-2020 [default: the last thirty of the record]
    #[arg(long, value_name = "FROM-TO", value_parser = years)]
    years: Option<(i16, i16)>,
    /// Seed of what is drawn
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
}

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

/// Years of the record that are replayed when none are named.
pub const USUAL_YEARS: i16 = 30;

pub const NO_STATION: &str = "no station record: name a file with --station FILE, or get one for good:\n\
     rimefold station find GARDEN         stations near the garden with long records\n\
     rimefold station fetch GARDEN ID     the record of one of them\n\
     rimefold station use GARDEN FILE     a record you have: days with date, minimum and maximum";

pub fn run(args: &Args) -> Result<Output, Failure> {
    let path = files::garden_file(&args.garden);
    let (garden, _) = check::load(&path)?;
    let station = args.station.clone().or_else(|| files::station(&path));
    let station = station.ok_or_else(|| Failure::new(Exit::Missing, NO_STATION))?;
    let bytes = files::read(&station)?;
    let record = weather::station::read(&bytes)
        .map_err(|e| Failure::new(Exit::Forecast, format!("{}: {e}", station.display())))?;
    let last = *record.years().end();
    let asked = args.years.unwrap_or((last.saturating_sub(USUAL_YEARS), last));
    let key = kept::key(&[
        &files::read(&path)?,
        &bytes,
        format!("{} {MODEL} {asked:?} {}", env!("CARGO_PKG_VERSION"), args.seed).as_bytes(),
    ]);
    let mut aside = Vec::new();
    let place = Keeper { path: kept_at(&path, &key), key };
    let replayed = replayed(garden, &record, asked, args.seed, &place, &mut aside)?;
    let text =
        if args.json { json::write(&replayed) } else { text::write(&replayed, terminal::width()) };
    Ok(Output { text, aside })
}

/// Where results are kept.
struct Keeper {
    path: PathBuf,
    key: String,
}

fn kept_at(garden: &Path, key: &str) -> PathBuf {
    garden.parent().unwrap_or(Path::new(".")).join("replay").join(format!("{key}.txt"))
}

fn replayed(
    garden: Garden,
    record: &StationRecord,
    asked: (i16, i16),
    seed: u64,
    place: &Keeper,
    aside: &mut Vec<String>,
) -> Result<Replayed, Failure> {
    let seasons = growing_season::by_hardiness(&garden, record);
    let simulation = Simulation::new(&garden, record, &seasons, asked.0..=asked.1, seed)
        .map_err(|e| failure(&e))?;
    let before = files::read(&place.path).ok();
    let mut before = before.and_then(|b| Kept::read(&b, &place.key)).unwrap_or_default();
    let mut kept = Kept::default();
    for batch in simulation.batches() {
        if let Some(done) = before.take(batch) {
            kept.blocks.push(done);
            continue;
        }
        if let (Some(first), Some(last)) = (batch.first(), batch.last()) {
            terminal::progress(&format!("replaying {first} to {last} …"));
        }
        let done = run_batch(&simulation, batch).map_err(|e| failure(&e))?;
        kept.blocks.push(done.into());
        if let Err(e) = files::replace(&place.path, kept.write(&place.key)) {
            aside.push(format!("(results are not kept: {})", e.message));
        }
    }
    terminal::progress("");
    let years = kept.years();
    let scores =
        scores(&years, seed).ok_or_else(|| Failure::new(Exit::Bug, "no years to score"))?;
    let station = record.station.name.clone().or_else(|| record.station.id.clone());
    let held = record.years();
    let inside = (asked.0.max(*held.start())..=asked.1.min(*held.end())).count();
    let left_out = inside.saturating_sub(years.len());
    Ok(Replayed { garden, station, seasons, years, scores, stats: kept.stats(), seed, left_out })
}

pub fn failure(e: &Error) -> Failure {
    Failure::from_fault(e, Exit::Unsuitable)
}

/// `1991-2020`, or one year.
pub fn years(words: &str) -> Result<(i16, i16), String> {
    let bad = || "expected years such as 1991-2020".to_owned();
    let (from, to) = words.split_once('-').unwrap_or((words, words));
    let year = |w: &str| w.trim().parse::<i16>().ok().filter(|y| (1700..=2200).contains(y));
    let (from, to) = year(from).zip(year(to)).ok_or_else(bad)?;
    if from > to { Err(bad()) } else { Ok((from, to)) }
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
