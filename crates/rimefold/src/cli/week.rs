//! `rimefold week`: the nights that the forecast reaches as one plan.

use std::path::PathBuf;

use diary::Diary;
use evening::week::Settings;
use garden::lying;

use crate::answers::week::{json, plan, text};
use crate::answers::{self, check};
use crate::cli::tonight::{forecast_beside, past_beside, read};
use crate::cli::{GardenArg, Output, moment, warned};
use crate::diary::lying::noted_in;
use crate::exit::Failure;
use crate::outside::{clock, files, terminal};

#[derive(clap::Args, Debug)]
pub struct Args {
    #[command(flatten)]
    garden: GardenArg,
    /// Forecast file; else forecast.json or forecast.csv beside the garden
    #[arg(long, value_name = "FILE")]
    forecast: Option<PathBuf>,
    /// Hourly weather of the last days; else past.csv beside the garden, if there
    #[arg(long, value_name = "FILE")]
    past: Option<PathBuf>,
    /// When you ask: 2027-05-14T16:00 in the garden's zone, or with an offset [default: now]
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Seed of what is drawn
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let path = args.garden.file();
    let (garden, warnings) = check::load_garden(&path)?;
    let forecast_path = forecast_beside(args.forecast.as_ref(), &path)?;
    let forecast = read(&files::read(&forecast_path)?, &forecast_path)?;
    let past = past_beside(args.past.as_ref(), &path)?;
    let now = match &args.at {
        Some(words) => moment(words, &garden.zone)?,
        None => clock::now(),
    };
    let settings = Settings { seed: args.seed, ..Settings::default() };
    let diary = Diary::open_there(&diary::beside(&path)).ok().flatten();
    let state = lying::derive(&garden, &noted_in(diary.as_ref(), now), now);
    let report = plan(&garden, &state, &forecast, past.as_ref(), now, settings)?;
    let text = if args.json {
        answers::json(&json::layout(&report, &garden))?
    } else {
        text::write(&report, &garden, terminal::width())
    };
    let mut out = Output::from(text);
    out.aside.extend(warned(&warnings));
    Ok(out)
}
