//! `rimefold tonight`: the evening plan; in the morning first what to open.

use std::path::Path;

use diary::Diary;
use evening::Settings;
use evening::report::Report;
use garden::Garden;
use weather::Forecast;

use crate::answers::tonight::{Question, SavedPlan, json, text};
use crate::answers::{self, check};
use crate::cli::weather_args::{Weather, WeatherArgs};
use crate::cli::{GardenArg, Output, warned};
use crate::diary::damaged::{damaged_in, take_as_worn};
use crate::diary::learned::Known;
use crate::diary::{from_report, lying};
use crate::exit::{Exit, Failure};
use crate::outside::{clock, terminal};

#[derive(clap::Args, Debug)]
pub struct Args {
    #[command(flatten)]
    garden: GardenArg,
    #[command(flatten)]
    weather: WeatherArgs,
    /// Tell the reasons, chances and weather behind the plan too
    #[arg(long, conflicts_with = "json")]
    why: bool,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    draw: Draw,
}

/// How the possible nights are drawn.
#[derive(clap::Args, Clone, Copy, Debug)]
pub struct Draw {
    /// Possible nights to compute, 200 to 4000, rounded up to the next sixteen
    #[arg(long, default_value_t = 200, value_parser = clap::value_parser!(u32).range(200..=4000))]
    nights: u32,
    /// Seed of the possible nights
    #[arg(long, default_value_t = 1)]
    seed: u64,
}

impl Draw {
    pub fn settings(self) -> Settings {
        Settings { nights: self.nights as usize, seed: self.seed }
    }
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let path = args.garden.file();
    let (mut garden, warnings) = check::load_garden(&path)?;
    let Weather { bytes, forecast, disagreement_k, past, now, aside } =
        args.weather.read(&garden, &path)?;
    let diary = diary::beside(&path);
    let kept = Diary::open_read_only(&diary).ok();
    let noted = lying::noted_in(kept.as_ref(), now);
    take_as_worn(&mut garden, &damaged_in(kept.as_ref(), now));
    let known = Known::from_diary(kept.as_ref(), &garden, now);
    let question = Question {
        garden: &garden,
        noted: &noted,
        forecast: &forecast,
        past: past.as_ref(),
        settings: args.draw.settings(),
        learned: known.learned(disagreement_k),
    };
    let saved = kept.and_then(|d| SavedPlan::of_ending_night(&d, now));
    let ending = question.ending_night(saved.as_ref(), now);
    let coming = question.coming_night(now);
    let mut out = Output { aside, ..Output::default() };
    match &coming {
        // An answer is worth more than its record.
        Ok(report) => {
            if let Err(failure) = keep(&diary, bytes, &forecast, report, &garden) {
                out.aside
                    .push(format!("(this plan is not kept in the diary: {})", failure.message));
            }
        }
        Err(failure) if ending.is_some() && !args.json && failure.code != Exit::Bug => {
            out.aside.push(format!("(the coming night is not planned: {})", failure.message));
        }
        Err(_) => {}
    }
    out.text = if args.json {
        answers::json(&json::layout(&coming?, ending.as_ref(), &garden))?
    } else {
        let width = terminal::width();
        let write = if args.why { text::write } else { text::brief };
        match (&ending, coming) {
            (None, coming) => write(&coming?, &garden, width),
            (Some(_), Err(failure)) if failure.code == Exit::Bug => return Err(failure),
            (Some(ending), Err(_)) => text::morning(ending, &garden, width, now),
            (Some(ending), Ok(coming)) => {
                text::morning(ending, &garden, width, now) + "\n" + &write(&coming, &garden, width)
            }
        }
    };
    out.aside.extend(known.told());
    out.aside.extend(known.troubles.iter().map(|t| format!("({t})")));
    out.aside.extend(warned(&warnings));
    Ok(out)
}

/// Keeps the plan and the forecast behind it where the garden has a diary.
fn keep(
    diary: &Path,
    bytes: Vec<u8>,
    forecast: &Forecast,
    report: &Report,
    garden: &Garden,
) -> Result<(), Failure> {
    let Some(mut diary) = Diary::open_there(diary)? else { return Ok(()) };
    let now = clock::now();
    let forecast = from_report::forecast(bytes, forecast, now);
    let (plan, said) = from_report::plan(report, garden, Some(forecast.sha256.clone()), now)?;
    Ok(diary.keep_plan(Some(&forecast), &plan, &said)?)
}
