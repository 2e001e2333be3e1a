//! `rimefold week`: the nights that the forecast reaches as one plan.

use diary::Diary;
use evening::week::{Question, Settings};
use garden::lying;

use crate::answers::week::{json, plan, text};
use crate::answers::{self, check};
use crate::cli::weather_args::{Weather, WeatherArgs};
use crate::cli::{GardenArg, Output, warned};
use crate::diary::damaged::{damaged_in, take_as_worn};
use crate::diary::learned::Known;
use crate::diary::lying::noted_in;
use crate::exit::Failure;
use crate::outside::terminal;

#[derive(clap::Args, Debug)]
pub struct Args {
    #[command(flatten)]
    garden: GardenArg,
    #[command(flatten)]
    weather: WeatherArgs,
    /// Seed of what is drawn
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let path = args.garden.file();
    let (mut garden, warnings) = check::load_garden(&path)?;
    let Weather { forecast, disagreement_k, past, now, aside, .. } =
        args.weather.read(&garden, &path)?;
    let settings = Settings { seed: args.seed, ..Settings::default() };
    let diary = Diary::open_read_only(&diary::beside(&path)).ok();
    take_as_worn(&mut garden, &damaged_in(diary.as_ref(), now));
    let state = lying::derive(&garden, &noted_in(diary.as_ref(), now), now);
    let known = Known::from_diary(diary.as_ref(), &garden, now);
    let question = Question {
        garden: &garden,
        state: &state,
        forecast: &forecast,
        past: past.as_ref(),
        asked_at: now,
        learned: known.learned(disagreement_k),
    };
    let report = plan(&question, settings, &terminal::progress)?;
    let text = if args.json {
        answers::json(&json::layout(&report, &garden))?
    } else {
        text::write(&report, &garden, terminal::width())
    };
    let mut out = Output { text, aside };
    out.aside.extend(known.told());
    out.aside.extend(known.troubles.iter().map(|t| format!("({t})")));
    out.aside.extend(warned(&warnings));
    Ok(out)
}
