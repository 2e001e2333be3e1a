//! `rimefold station find`: the nearest stations with a long record, height counted.

use std::path::PathBuf;

use garden::Garden;
use quantities::UnitSystem;
use serde_json::{Value, json};
use weather::station::list::{self, Near};

use crate::cli::Output;
use crate::exit::{Exit, Failure};
use crate::outside::files;

/// Names of NOAA's list and inventory of GHCN-Daily.
const LIST: &str = "ghcnd-stations.txt";
const INVENTORY: &str = "ghcnd-inventory.txt";

#[derive(clap::Args, Debug)]
pub struct Args {
    /// Folder of the garden, or its garden.toml
    garden: PathBuf,
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
    #[arg(long, default_value_t = 30, value_parser = clap::value_parser!(i16).range(1..=500))]
    years: i16,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let (garden, folder) = super::garden(&args.garden)?;
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
    let near = list::nearest(&stations, &garden.place, usize::from(args.count), args.years);
    if near.is_empty() {
        let why =
            format!("{}: no station here has a place and {} years", path.display(), args.years);
        return Err(Failure::new(Exit::Unsuitable, why));
    }
    let text = if args.json {
        format!("{:#}\n", json!({ "stations": near.iter().map(value).collect::<Vec<_>>() }))
    } else {
        words(&near, &garden, inventory.is_some())
    };
    Ok(Output { text, aside: Vec::new() })
}

fn words(near: &[Near<'_>], garden: &Garden, years_known: bool) -> String {
    let us = garden.units == UnitSystem::Us;
    let mut out = format!(
        "Nearest to {}, {} of height counted as {}:\n",
        garden.name,
        if us { "100 ft" } else { "100 m" },
        if us { "4 mi" } else { "20 km" }
    );
    for n in near {
        let far = if us {
            format!("{:.0} mi", n.distance_km / 1.609_344)
        } else {
            format!("{:.0} km", n.distance_km)
        };
        let height = if us { n.higher_m / 0.3048 } else { n.higher_m };
        let side = if height < 0.0 { "lower" } else { "higher" };
        let height = format!("{:.0} {} {side}", height.abs(), if us { "ft" } else { "m" });
        let years = n.station.years.map_or(String::new(), |(a, b)| format!("{a} to {b}"));
        let id = n.station.id.as_deref().unwrap_or_default();
        let name: String = n.station.name.iter().flat_map(|s| s.chars()).take(24).collect();
        let line = format!("  {id:11}  {name:24}  {far:>7}  {height:>14}  {years}");
        out += line.trim_end();
        out += "\n";
    }
    if !years_known {
        out += &format!("How long they have measured is not known without NOAA's {INVENTORY}.\n");
    }
    out + "Fetch one with: rimefold station fetch GARDEN ID\n"
}

fn value(n: &Near<'_>) -> Value {
    json!({
        "id": n.station.id, "name": n.station.name,
        "latitude_deg": n.station.latitude_deg, "longitude_deg": n.station.longitude_deg,
        "elevation_m": n.station.elevation_m, "years": n.station.years.map(|(a, b)| [a, b]),
        "distance_km": n.distance_km, "higher_m": n.higher_m, "weighed_km": n.weighed_km,
    })
}
