//! `rimefold year`: when to set out, when picking ends, what stands the winter, what the hoops carry, from past years.

use std::path::PathBuf;

use jiff::Timestamp;

use crate::answers::calendar::calendar;
use crate::answers::year::{self, Answer, Question, events};
use crate::answers::{self, check, station};
use crate::cli::{GardenArg, Output, bed_named, record_years};
use crate::exit::Failure;
use crate::outside::{clock, files, terminal};

#[derive(clap::Args, Debug)]
pub struct Args {
    #[command(flatten)]
    garden: GardenArg,
    /// Daily station record; else the one beside the garden
    #[arg(long, value_name = "FILE")]
    station: Option<PathBuf>,
    /// Years it rests on, such as 1991-2020 [default: the last thirty of the record]
    #[arg(long, alias = "years", value_name = "FROM-TO", value_parser = record_years)]
    record_years: Option<(i16, i16)>,
    /// Chance of harm that you take, in percent of years
    #[arg(long, value_name = "PERCENT", default_value_t = 10, value_parser = clap::value_parser!(u8).range(1..=50))]
    risk: u8,
    /// Only this bed
    #[arg(long, value_name = "NAME")]
    bed: Option<String>,
    /// Year that the calendar file is for [default: this one]
    #[arg(long, value_name = "YEAR", value_parser = clap::value_parser!(i16).range(1900..=2200))]
    season: Option<i16>,
    /// Write the year as a drawing into this new SVG file
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// Write the dates as a calendar (iCalendar) into this new file
    #[arg(long, value_name = "FILE")]
    ics: Option<PathBuf>,
    /// Seed of what is drawn
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let path = args.garden.file();
    let (garden, _) = check::load_garden(&path)?;
    let only = args.bed.as_deref().map(|name| bed_named(&garden, name)).transpose()?;
    let file = station::file(args.station.as_ref(), &path)?;
    let bytes = files::read_record(&file)?;
    let record = station::parse(&file, &bytes, &garden)?;
    let risk = f64::from(args.risk) / 100.0;
    let question = Question { years: args.record_years, only, risk, seed: args.seed };
    let place = year::place(&path, &bytes, &question);
    let (progress, mut aside) = (terminal::progress, Vec::new());
    let answer = year::plan_year(&garden, &record, &question, &place, &progress, &mut aside)?;
    written(&answer, args, aside)
}

fn written(answer: &Answer, args: &Args, mut aside: Vec<String>) -> Result<Output, Failure> {
    if let Some(file) = &args.svg {
        files::write_new(file, year::svg::draw(answer))?;
        aside.push(format!("drawn in {}", file.display()));
    }
    if let Some(file) = &args.ics {
        let now = Timestamp::from_second(clock::now().0).unwrap_or_default();
        let season = args.season.unwrap_or_else(|| answer.season_of(now));
        let name = format!("{}: the year {season}", answer.garden.name);
        files::write_new(file, calendar(&name, now, &events::of_season(answer, season)))?;
        aside.push(format!("calendar in {}", file.display()));
    }
    let text = if args.json {
        answers::json(&year::json::layout(answer))?
    } else {
        year::text::write(answer, terminal::width())
    };
    Ok(Output { text, aside })
}
