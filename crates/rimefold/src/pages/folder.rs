//! The garden folder as the pages read it: garden, forecast, past, each with what is wrong with it.

use std::path::{Path, PathBuf};

use garden::Garden;
use weather::Forecast;

use crate::answers::check;
use crate::exit::{Exit, Failure};
use crate::outside::accepted_place;
use crate::outside::files::{self, Stamp};

/// The files a plan is made of, in the order they are looked for.
const FORECASTS: [&str; 2] = ["forecast.json", "forecast.csv"];
const PAST: [&str; 1] = ["past.csv"];

/// When each file was last written; equal as long as nothing has changed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stamps([Option<(PathBuf, Stamp)>; 4]);

/// What the folder holds.
pub struct Folder {
    /// The garden with its warnings, or its faults.
    pub garden: Result<(Garden, Vec<String>), Failure>,
    /// The forecast and the bytes it was read from, or why there is none.
    pub forecast: Result<(Forecast, Vec<u8>), Failure>,
    /// The weather of the days before, where it is known.
    pub past: Option<Forecast>,
}

/// The garden file of a folder.
pub fn garden_file(folder: &Path) -> PathBuf {
    folder.join("garden.toml")
}

/// The forecast of a folder, where there is one.
pub fn forecast_file(folder: &Path) -> Option<PathBuf> {
    files::beside(&garden_file(folder), &FORECASTS)
}

/// When its files were last written.
pub fn stamps(folder: &Path) -> Stamps {
    let garden = garden_file(folder);
    let of = |path: PathBuf| files::stamp(&path).map(|s| (path, s));
    let forecast = files::beside(&garden, &FORECASTS).and_then(of);
    let past = files::beside(&garden, &PAST).and_then(of);
    let accepted = of(accepted_place::path(&garden));
    Stamps([of(garden), forecast, past, accepted])
}

/// Reads the folder.
pub fn read(folder: &Path) -> Folder {
    let path = garden_file(folder);
    let forecast = match forecast_file(folder) {
        Some(path) => forecast(&path),
        None => Err(Failure::new(
            Exit::Missing,
            "There is no forecast yet: bring one here, or put forecast.json or forecast.csv beside garden.toml.",
        )),
    };
    let past = files::beside(&path, &PAST).and_then(|p| Some(self::forecast(&p).ok()?.0));
    Folder { garden: check::load_garden(&path), forecast, past }
}

fn forecast(path: &Path) -> Result<(Forecast, Vec<u8>), Failure> {
    let bytes = files::read(path)?;
    match weather::read(&bytes) {
        Ok(forecast) => Ok((forecast, bytes)),
        Err(e) => Err(Failure::new(Exit::Forecast, format!("{}: {e}", path.display()))),
    }
}
