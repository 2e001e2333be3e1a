//! `rimefold tonight`: the evening plan.

use std::path::{Path, PathBuf};

use diary::Diary;
use evening::report::Report;
use evening::{Settings, tonight};
use garden::Garden;
use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use quantities::Moment;
use weather::Forecast;

use crate::cli::{Output, check};
use crate::diary::from_report;
use crate::exit::{Exit, Failure};
use crate::outside::{clock, files, terminal};
use crate::{json, text};

#[derive(clap::Args, Debug)]
pub struct Args {
    /// Folder of the garden, or its garden.toml
    #[arg(default_value = ".")]
    garden: PathBuf,
    /// Forecast file; else forecast.json or forecast.csv beside the garden
    #[arg(long, value_name = "FILE")]
    forecast: Option<PathBuf>,
    /// Hourly weather of the last days; else past.csv beside the garden, if there
    #[arg(long, value_name = "FILE")]
    past: Option<PathBuf>,
    /// When you ask: 2027-05-14T16:00 in the garden's zone, or with an offset [default: now]
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
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
    let path = files::garden_file(&args.garden);
    let (garden, warnings) = check::load(&path)?;
    let forecast_path = match &args.forecast {
        Some(path) => path.clone(),
        None => files::beside(&path, &["forecast.json", "forecast.csv"]).ok_or_else(|| {
            Failure::new(
                Exit::Missing,
                "no forecast: put forecast.json or forecast.csv beside garden.toml, or name one with --forecast FILE\n\
                 (docs/formats.md tells which formats are read)",
            )
        })?,
    };
    let bytes = files::read(&forecast_path)?;
    let forecast = read(&bytes, &forecast_path)?;
    let past_path = args.past.clone().or_else(|| files::beside(&path, &["past.csv"]));
    let past = past_path.as_deref().map(self::forecast).transpose()?;
    let at = match &args.at {
        Some(words) => moment(words, &garden.zone)?,
        None => clock::now(),
    };
    let report = plan(&garden, &forecast, past.as_ref(), at, args.draw.settings())?;
    let mut out = shown(&report, &garden, args.json);
    // An answer is worth more than its record.
    if let Err(failure) = keep(&path, bytes, &forecast, &report, &garden) {
        out.aside.push(format!("(this plan is not kept in the diary: {})", failure.message));
    }
    if !warnings.is_empty() {
        out.aside.push(format!(
            "({} about the garden file: run `rimefold check`)",
            crate::format::count(warnings.len(), "warning")
        ));
    }
    Ok(out)
}

/// The plan as text or JSON.
pub fn answer(
    garden: &Garden,
    forecast: &Forecast,
    past: Option<&Forecast>,
    at: Moment,
    settings: Settings,
    as_json: bool,
) -> Result<Output, Failure> {
    Ok(shown(&plan(garden, forecast, past, at, settings)?, garden, as_json))
}

fn plan(
    garden: &Garden,
    forecast: &Forecast,
    past: Option<&Forecast>,
    at: Moment,
    settings: Settings,
) -> Result<Report, Failure> {
    tonight(garden, forecast, past, at, settings)
        .map_err(|e| Failure::from_fault(&e, Exit::Unsuitable))
}

fn shown(report: &Report, garden: &Garden, as_json: bool) -> Output {
    let text = if as_json {
        json::write(report, garden)
    } else {
        text::write(report, garden, terminal::width())
    };
    Output { text, aside: Vec::new() }
}

/// Keeps the plan and the forecast behind it where the garden has a diary.
fn keep(
    garden_file: &Path,
    bytes: Vec<u8>,
    forecast: &Forecast,
    report: &Report,
    garden: &Garden,
) -> Result<(), Failure> {
    let Some(mut diary) = Diary::open_there(&diary::beside(garden_file))? else { return Ok(()) };
    let now = clock::now();
    let forecast = from_report::forecast(bytes, forecast, now);
    let (plan, said) = from_report::plan(report, garden, Some(forecast.sha256.clone()), now)?;
    Ok(diary.keep_plan(Some(&forecast), &plan, &said)?)
}

fn forecast(path: &Path) -> Result<Forecast, Failure> {
    read(&files::read(path)?, path)
}

fn read(bytes: &[u8], path: &Path) -> Result<Forecast, Failure> {
    weather::read(bytes)
        .map_err(|e| Failure::new(Exit::Forecast, format!("{}: {e}", path.display())))
}

/// A moment from RFC 3339 or from local civil time.
pub fn moment(words: &str, zone: &str) -> Result<Moment, Failure> {
    let bad = || {
        Failure::new(
            Exit::Usage,
            format!(
                "--at {words}: expected a time such as 2027-05-14T16:00 or 2027-05-14T16:00-05:00"
            ),
        )
    };
    if let Ok(t) = words.parse::<Timestamp>() {
        return Ok(Moment(t.as_second()));
    }
    let local: DateTime = words.parse().map_err(|_| bad())?;
    let zone = TimeZone::get(zone).map_err(|_| bad())?;
    let zoned = zone.to_ambiguous_zoned_datetime(local).compatible().map_err(|_| bad())?;
    Ok(Moment(zoned.timestamp().as_second()))
}
