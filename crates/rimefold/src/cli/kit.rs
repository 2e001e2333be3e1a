//! `rimefold kit`: which sheets, hoops, pins and clips to own, what they cost a season, and in which year to buy them.

use std::path::PathBuf;

use purchase::kit::Settings;

use crate::answers::kit::sheet_value::{self, Asked};
use crate::answers::{self, check, kit};
use crate::cli::{GardenArg, Output, record_years, warned};
use crate::exit::Failure;
use crate::outside::terminal;

#[derive(clap::Args, Debug)]
pub struct Args {
    #[command(flatten)]
    garden: GardenArg,
    /// What may be spent in a year; else the budget in the garden file
    #[arg(long, value_name = "MONEY")]
    budget: Option<f64>,
    /// Years over which the kit is bought, 1 to 10; else as in the garden file
    #[arg(long, alias = "years", value_name = "N", value_parser = clap::value_parser!(u32).range(1..=10))]
    buying_years: Option<u32>,
    /// The hoops in the garden file stand already: leave them out of the bill
    #[arg(long)]
    have_hoops: bool,
    /// Daily station record for what sheets would have saved; else the one beside the garden
    #[arg(long, value_name = "FILE")]
    station: Option<PathBuf>,
    /// Years of that record, such as 1991-2020 [default: the last thirty]
    #[arg(long, value_name = "FROM-TO", value_parser = record_years)]
    record_years: Option<(i16, i16)>,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let path = args.garden.file();
    let (garden, warnings) = check::load_garden(&path)?;
    let settings = Settings {
        budget: args.budget.or(garden.supply.budget),
        years: args.buying_years.unwrap_or(garden.supply.years.max(1)),
        have_hoops: args.have_hoops,
    };
    let kit = kit::best_kit(&garden, settings, &path)?;
    let mut aside = Vec::new();
    let asked = Asked { station: args.station.as_ref(), years: args.record_years };
    let value =
        sheet_value::estimate(&path, &garden, settings, &asked, &terminal::progress, &mut aside)?;
    let text = if args.json {
        answers::json(&kit::json::layout(&kit, &garden, settings, value.as_ref()))?
    } else {
        kit::text::write(&kit, &garden, settings, value.as_ref(), terminal::width())
    };
    aside.extend(warned(&warnings));
    Ok(Output { text, aside })
}
