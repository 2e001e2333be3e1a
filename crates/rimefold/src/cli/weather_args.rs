//! What a plan is asked with, by every verb that plans: forecast, days before, moment.

use std::path::{Path, PathBuf};

use garden::Garden;
use quantities::Moment;
use weather::Forecast;
use weather::combined::{Combined, combine};

use crate::answers::tonight::wrong_place;
use crate::cli::moment;
use crate::exit::{Exit, Failure};
use crate::outside::{accepted_place, clock, files};

#[derive(clap::Args, Debug)]
pub struct WeatherArgs {
    /// Forecast file; else forecast.json or forecast.csv beside the garden. Given again for the file of another service, the
    /// mean is taken
    #[arg(long, value_name = "FILE")]
    forecast: Vec<PathBuf>,
    /// Hourly weather of the last days; else past.csv beside the garden, if there
    #[arg(long, value_name = "FILE")]
    past: Option<PathBuf>,
    /// When you ask: 2027-05-14T16:00 in the garden's zone, or with an offset [default: now]
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Plan even where the forecast is for another place
    #[arg(long)]
    anyway: bool,
}

/// What was asked with.
pub struct Weather {
    /// The forecast's bytes, to keep them.
    pub bytes: Vec<u8>,
    /// The forecast, or the mean of several.
    pub forecast: Forecast,
    /// How far apart several are, K.
    pub disagreement_k: f64,
    /// The days before, where they are known.
    pub past: Option<Forecast>,
    /// The moment of asking.
    pub now: Moment,
    /// Remarks: that the forecast is for another place.
    pub aside: Vec<String>,
}

impl WeatherArgs {
    /// Reads it for a garden and its file.
    ///
    /// # Errors
    /// A file that is not there or cannot be read, a forecast for another place, a moment that is none.
    pub fn read(&self, garden: &Garden, garden_file: &Path) -> Result<Weather, Failure> {
        let path = forecast_file(self.forecast.first(), garden_file)?;
        let bytes = files::read(&path)?;
        let forecast = read(&bytes, &path)?;
        let fits = |forecast: &Forecast| {
            let accepted = |place| accepted_place::holds(garden_file, place);
            let accepted = self.anyway || forecast.place.as_ref().is_some_and(accepted);
            wrong_place::check(garden, forecast, accepted, "say --anyway")
        };
        let elsewhere = fits(&forecast)?;
        let others: Vec<Forecast> = self
            .forecast
            .iter()
            .skip(1)
            .map(|path| {
                let other = read(&files::read(path)?, path)?;
                fits(&other)?;
                Ok(other)
            })
            .collect::<Result<_, Failure>>()?;
        let Combined { forecast, disagreement_k } = combine(forecast, &others);
        let past = self.past.clone().or_else(|| files::beside(garden_file, &["past.csv"]));
        let past = past.as_deref().map(|p| read(&files::read(p)?, p)).transpose()?;
        let now = match &self.at {
            Some(words) => moment(words, &garden.zone)?,
            None => clock::now(),
        };
        let aside = elsewhere.map(|told| format!("warning: {told}")).into_iter().collect();
        Ok(Weather { bytes, forecast, disagreement_k, past, now, aside })
    }
}

/// The forecast file that was named, or the one beside the garden.
fn forecast_file(named: Option<&PathBuf>, garden_file: &Path) -> Result<PathBuf, Failure> {
    if let Some(named) = named {
        return Ok(named.clone());
    }
    files::beside(garden_file, &["forecast.json", "forecast.csv"]).ok_or_else(|| {
        Failure::new(
            Exit::Missing,
            "no forecast: put forecast.json or forecast.csv beside garden.toml, or name one with --forecast FILE\n\
             (docs/formats.md tells which formats are read)",
        )
    })
}

/// A forecast in any known format.
fn read(bytes: &[u8], path: &Path) -> Result<Forecast, Failure> {
    weather::read(bytes)
        .map_err(|e| Failure::new(Exit::Forecast, format!("{}: {e}", path.display())))
}
