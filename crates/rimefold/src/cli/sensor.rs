//! `rimefold sensor`: automatic thermometers: how they are, their files, the token of those that send.

use std::path::PathBuf;

use clap::Subcommand;
use diary::Diary;
use diary::series::{Series, beside};
use garden::Garden;
use garden::sensor::Sensor;
use quantities::Moment;

use crate::answers::sensors::{json, night_told, text, took};
use crate::answers::{self, check};
use crate::cli::{Output, moment};
use crate::exit::{Exit, Failure};
use crate::format::GardenFormat;
use crate::machines::{files, lows, state, token};
use crate::outside::{clock, files as outside_files, terminal};

#[derive(clap::Args, Debug)]
pub struct Args {
    /// Folder of the garden, or its garden.toml
    #[arg(long, global = true, default_value = ".", value_name = "GARDEN")]
    garden: PathBuf,
    /// When you ask: 2027-05-14T16:00 in the garden's zone, or with an offset [default: now]
    #[arg(long, global = true, value_name = "TIME")]
    at: Option<String>,
    #[command(subcommand)]
    what: What,
}

#[derive(Subcommand, Debug)]
enum What {
    /// How each sensor is: its last reading, its nights, what is wrong
    List {
        /// Write JSON for programs
        #[arg(long)]
        json: bool,
    },
    /// Read files of a logger now; nothing is taken twice
    Take {
        /// Files, CSV with a heading
        #[arg(required = true, value_name = "FILE")]
        files: Vec<PathBuf>,
        /// The sensor they are of, where the garden has several
        #[arg(long, value_name = "NAME")]
        sensor: Option<String>,
    },
    /// Show the token that a machine must send with its readings, or make a new one
    Token {
        /// Make a new one; the old one no longer serves
        #[arg(long)]
        new: bool,
    },
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let file = outside_files::garden_file(&args.garden);
    let (garden, _) = check::load_garden(&file)?;
    let now = match &args.at {
        Some(words) => moment(words, &garden.zone)?,
        None => clock::now(),
    };
    let diary = diary::beside(&file);
    match &args.what {
        What::List { json: wanted } => {
            let series = Series::open_read_only(&beside(&diary))?;
            let entries = match Diary::open_read_only(&diary) {
                Ok(diary) => diary.entries()?,
                Err(diary::Error::NoDiary(_)) => Vec::new(),
                Err(e) => return Err(e.into()),
            };
            let state = state::state(&garden, series.as_ref(), &entries, now)?;
            if *wanted {
                return Ok(answers::json(&json::layout(&state))?.into());
            }
            Ok(text::write(&state, &garden, now, terminal::width()).into())
        }
        What::Take { files, sensor } => take(&garden, &diary, files, sensor.as_deref(), now),
        What::Token { new } => {
            let kept = if *new { None } else { token::of(&file)? };
            let token = kept.map_or_else(|| token::make(&file), Ok)?;
            Ok(format!("{token}\n").into())
        }
    }
}

fn take(
    garden: &Garden,
    diary: &std::path::Path,
    files: &[PathBuf],
    named: Option<&str>,
    now: Moment,
) -> Result<Output, Failure> {
    let sensor = sensor(garden, named)?;
    let words = GardenFormat::new(garden.units, &garden.zone);
    let mut series = Series::open(&beside(diary))?;
    let (mut text, mut first) = (String::new(), now);
    for path in files {
        let taken = files::take(&mut series, garden, sensor, path, now)?;
        first = first.min(taken.span.0);
        text += &format!("{}\n", took(&taken, &words));
    }
    let mut open = Diary::open(diary)?;
    for (sensor, night, came) in lows::note(&mut open, &series, garden, first, now)? {
        text += &format!("  {}\n", night_told(&sensor, night, &came, &words));
    }
    Ok(text.into())
}

/// The sensor that is meant.
fn sensor<'a>(garden: &'a Garden, named: Option<&str>) -> Result<&'a Sensor, Failure> {
    let names: Vec<&str> = garden.sensors.iter().map(|s| s.name.as_str()).collect();
    let listed = names.join(", ");
    match (named, garden.sensors.as_slice()) {
        (_, []) => Err(Failure::new(
            Exit::Usage,
            "the garden file has no [[sensor]]; write one with its name (docs/garden.md)",
        )),
        (None, [one]) => Ok(one),
        (None, _) => {
            Err(Failure::new(Exit::Usage, format!("say with --sensor which it is: {listed}")))
        }
        (Some(name), all) => {
            all.iter().find(|s| s.name.eq_ignore_ascii_case(name)).ok_or_else(|| {
                Failure::new(
                    Exit::Usage,
                    format!("no sensor is called `{name}`; there are: {listed}"),
                )
            })
        }
    }
}
