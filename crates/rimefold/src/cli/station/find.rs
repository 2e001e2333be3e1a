//! `rimefold station find`: the nearest stations with a long record, height counted.

use std::path::PathBuf;

use weather::station::list;

use crate::answers;
use crate::answers::station::find::{self, INVENTORY, LIST};
use crate::cli::{GardenArg, Output};
use crate::exit::{Exit, Failure};
use crate::outside::{files, terminal};

#[derive(clap::Args, Debug)]
pub struct Args {
    #[command(flatten)]
    garden: GardenArg,
    /// List of stations; else ghcnd-stations.txt in the station folder
    #[arg(long, value_name = "FILE")]
    list: Option<PathBuf>,
    /// Inventory with the years of each station; else ghcnd-inventory.txt beside the list, if there
    #[arg(long, value_name = "FILE")]
    inventory: Option<PathBuf>,
    /// How many to name
    #[arg(long, default_value_t = 8, value_parser = clap::value_parser!(u16).range(1..=500))]
    count: u16,
    /// Fewest years of minima, where an inventory tells
    #[arg(long, alias = "years", default_value_t = 30, value_parser = clap::value_parser!(i16).range(1..=500))]
    least_years: i16,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let (garden, folder) = super::garden(&args.garden.file())?;
    let path = args.list.clone().unwrap_or_else(|| folder.join(LIST));
    if args.list.is_none() && !path.is_file() {
        let why = format!(
            "no list of stations: put NOAA's {LIST} (and {INVENTORY}, for the years) into {}, or name one with --list FILE",
            folder.display()
        );
        return Err(Failure::new(Exit::Missing, why));
    }
    let unreadable = |path: &PathBuf, e: weather::ReadError| {
        Failure::new(Exit::Forecast, format!("{}: {e}", path.display()))
    };
    let mut stations = list::read(&files::read_record(&path)?).map_err(|e| unreadable(&path, e))?;
    let beside = || files::beside(&path, &[INVENTORY]);
    let inventory = args.inventory.clone().or_else(beside);
    if let Some(inventory) = &inventory {
        list::add_years(&mut stations, &files::read_record(inventory)?)
            .map_err(|e| unreadable(inventory, e))?;
        // Without a line in the inventory a station measures no minima.
        stations.retain(|s| s.years.is_some());
    }
    let near = list::nearest(&stations, &garden.place, usize::from(args.count), args.least_years);
    if near.is_empty() {
        let why = format!(
            "{}: no station here has a place and {} years",
            path.display(),
            args.least_years
        );
        return Err(Failure::new(Exit::Unsuitable, why));
    }
    let text = if args.json {
        answers::json(&find::layout(&near))?
    } else {
        find::text(&near, &garden, inventory.is_some(), terminal::width())
    };
    Ok(Output::from(text))
}
