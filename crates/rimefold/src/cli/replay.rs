//! `rimefold replay`: every night of past years on this garden, and what each way of deciding would have made of them.

use std::path::PathBuf;

use crate::answers::replay;
use crate::answers::{self, check, station};
use crate::cli::{GardenArg, Output, record_years};
use crate::exit::Failure;
use crate::outside::{files, terminal};

#[derive(clap::Args, Debug)]
pub struct Args {
    #[command(flatten)]
    garden: GardenArg,
    /// Daily station record; else station.csv or station.dly beside the garden
    #[arg(long, value_name = "FILE")]
    station: Option<PathBuf>,
    /// Years to replay, such as 1991-2020 [default: the last thirty of the record]
    #[arg(long, alias = "years", value_name = "FROM-TO", value_parser = record_years)]
    record_years: Option<(i16, i16)>,
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
    let file = station::file(args.station.as_ref(), &path)?;
    let bytes = files::read_record(&file)?;
    let record = station::parse(&file, &bytes, &garden)?;
    let asked = station::years(&record, args.record_years);
    let place = replay::place(&path, &bytes, asked, args.seed)?;
    let mut aside = Vec::new();
    let progress = terminal::progress;
    let replayed =
        replay::replay_years(garden, &record, asked, args.seed, &place, &progress, &mut aside)?;
    let text = if args.json {
        answers::json(&replay::json::layout(&replayed))?
    } else {
        replay::text::write(&replayed, terminal::width())
    };
    Ok(Output { text, aside })
}
