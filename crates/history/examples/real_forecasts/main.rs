//! Replays the demonstration garden on real forecasts of US cities, and keeps `docs/limits.md` true.
//!
//! `cargo run --release -p history --example real_forecasts` prints the table and fails when the page says otherwise;
//! `-- --write` writes it into the page. Minima, maxima and forecasts are those of 2021; wind, cloud, humidity and what
//! else errs are drawn from the stated priors, sixteen times for each city.

mod cities;
mod table;

use std::error::Error;
use std::path::PathBuf;
use std::process::ExitCode;

use history::replay::Year;
use rayon::prelude::*;

/// Marks around the part of the page that this program writes.
const BEGIN: &str = "<!-- real forecasts: written by `cargo run --release -p history --example real_forecasts -- --write` -->\n";
const END: &str = "<!-- /real forecasts -->";
/// Seed of everything that is drawn.
const SEED: u64 = 1;

fn main() -> Result<ExitCode, Box<dyn Error>> {
    let Some(_) = measured_data::folder("pairs") else { return Ok(ExitCode::SUCCESS) };
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..");
    let garden = std::fs::read_to_string(root.join("demo/wisconsin/garden.toml"))?;
    let garden = garden::file::read(&garden).garden.ok_or("the demonstration garden reads")?;
    let cities = cities::read()?;
    let replayed: Vec<Year> = cities
        .par_iter()
        .enumerate()
        .map(|(i, city)| city.replay(&garden, i as i16, city.forecasts(), SEED))
        .collect::<Result<_, String>>()?;
    let table = table::markdown(&cities, &replayed, SEED).ok_or("no cities")?;
    print!("{table}");
    let kept = measured_data::page::keep(BEGIN, END, &table)?;
    Ok(if kept { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}
