//! `rimefold station`: find, fetch or use the long record of a weather station near the garden.

mod find;

use std::path::{Path, PathBuf};
use std::time::Duration;

use clap::Subcommand;
use garden::Garden;
use weather::StationRecord;

use crate::answers::{self, check, station};
use crate::cli::{NamedGarden, Output, seconds};
use crate::exit::{Exit, Failure};
use crate::outside::fetch::{Fetched, Kind, Order};
use crate::outside::{fetch, files, terminal};

/// Folder of one CSV a station of GHCN-Daily at NOAA's National Centers for Environmental Information (from memory).
const NOAA: &str =
    "https://www.ncei.noaa.gov/data/global-historical-climatology-network-daily/access";

#[derive(clap::Args, Debug)]
pub struct Args {
    #[command(subcommand)]
    what: What,
}

#[derive(Subcommand, Debug)]
enum What {
    /// Name the nearest stations with a long record
    Find(find::Args),
    /// Fetch a station's daily record into the garden's station folder
    Fetch(FetchArgs),
    /// Copy a record that you have into the garden's station folder
    Use(UseArgs),
}

#[derive(clap::Args, Debug)]
struct FetchArgs {
    #[command(flatten)]
    garden: NamedGarden,
    /// The garden's folder, where --garden does not name it, and the station's identifier: 11 letters and digits
    #[arg(value_names = ["GARDEN", "ID"], num_args = 1..=2, required = true)]
    given: Vec<PathBuf>,
    /// Folder on the web that holds ID.csv
    #[arg(long, value_name = "BASE_URL", default_value = NOAA)]
    from: String,
    /// Longest wait for an answer or its next piece, seconds
    #[arg(long, value_name = "SECONDS", default_value = "30", value_parser = seconds)]
    timeout: Duration,
    /// First pause between tries, seconds; it doubles after each of the four
    #[arg(long, value_name = "SECONDS", default_value = "2", value_parser = seconds)]
    pause: Duration,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
}

#[derive(clap::Args, Debug)]
struct UseArgs {
    #[command(flatten)]
    garden: NamedGarden,
    /// The garden's folder, where --garden does not name it, and the record: daily minima and maxima (docs/formats.md
    /// tells which are read)
    #[arg(value_names = ["GARDEN", "FILE"], num_args = 1..=2, required = true)]
    given: Vec<PathBuf>,
    /// Take the place of an older file of the same name
    #[arg(long)]
    replace: bool,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
}

pub fn run(args: Args) -> Result<Output, Failure> {
    match args.what {
        What::Find(args) => find::run(&args),
        What::Fetch(args) => run_fetch(&args),
        What::Use(args) => run_use(&args),
    }
}

/// The garden's file, and the one thing beside it that was named.
fn garden_and_other(named: &NamedGarden, given: &[PathBuf]) -> Result<(PathBuf, PathBuf), Failure> {
    let here = || named.named.clone().unwrap_or_else(|| PathBuf::from("."));
    match given {
        [other] => Ok((files::garden_file(&here()), other.clone())),
        [garden, other] if named.named.is_none() => Ok((files::garden_file(garden), other.clone())),
        _ => Err(Failure::new(Exit::Usage, "the garden is named twice")),
    }
}

/// A garden and its station folder.
fn garden(file: &Path) -> Result<(Garden, PathBuf), Failure> {
    let (garden, _) = check::load_garden(file)?;
    let folder = file.parent().unwrap_or(Path::new("")).join("station");
    Ok((garden, folder))
}

fn run_fetch(args: &FetchArgs) -> Result<Output, Failure> {
    let (garden_file, given) = garden_and_other(&args.garden, &args.given)?;
    let given = given.display().to_string();
    let id = given.to_ascii_uppercase();
    if !is_id(&id) {
        let why = format!("{given}: a station's identifier is 11 letters and digits");
        return Err(Failure::new(Exit::Usage, why));
    }
    if !["http://", "https://"].iter().any(|s| args.from.starts_with(s)) {
        let why = format!("--from {}: expected an address that begins with https://", args.from);
        return Err(Failure::new(Exit::Usage, why));
    }
    let (garden, folder) = garden(&garden_file)?;
    let path = folder.join(format!("{id}.csv"));
    let check = |bytes: &[u8]| {
        let record = weather::station::read(bytes).map_err(|e| e.to_string())?;
        match record.station.id {
            Some(other) if !other.ends_with(&id) => Err(format!("it is of {other}")),
            _ => Ok(()),
        }
    };
    let url = format!("{}/{id}.csv", args.from.trim_end_matches('/'));
    let kind = Kind {
        what: "that station's record",
        not_there: "is the station's identifier right?",
        most: files::LARGEST_RECORD,
        name: fetch::named("a grower's station record, asked for by hand"),
        redirects: 5,
    };
    let (timeout, pause) = (args.timeout, args.pause);
    let order = Order { url, path: &path, timeout, pause, check: &check, kind: &kind };
    let fetched = fetch::fetch(&order)?;
    let did = match fetched {
        Fetched::New => format!("Fetched {}.", path.display()),
        Fetched::Unchanged => format!("{} is as the server has it.", path.display()),
    };
    let record = station::read(&path, &garden)?;
    answer(&garden, &path, &record, &did, args.json)
}

fn run_use(args: &UseArgs) -> Result<Output, Failure> {
    let (garden_file, file) = garden_and_other(&args.garden, &args.given)?;
    let (garden, folder) = garden(&garden_file)?;
    let bytes = files::read_record(&file)?;
    let record = station::parse(&file, &bytes, &garden)?;
    let path = folder.join(file.file_name().unwrap_or(file.as_os_str()));
    let there = files::read_record(&path).is_ok_and(|old| old == bytes);
    if there {
        // The same bytes are in their place already.
    } else if args.replace {
        files::replace(&path, &bytes)?;
    } else {
        files::write_new(&path, &bytes).map_err(|f| Failure {
            message: f.message + "; say --replace to put this record in its place",
            ..f
        })?;
    }
    let did = format!("{} is in use.", path.display());
    answer(&garden, &path, &record, &did, args.json)
}

fn answer(
    garden: &Garden,
    path: &Path,
    record: &StationRecord,
    did: &str,
    as_json: bool,
) -> Result<Output, Failure> {
    Ok(Output::from(if as_json {
        answers::json(&station::json::layout(record, garden, path))?
    } else {
        format!("{did}\n{}", station::text::write(record, garden, terminal::width()))
    }))
}

fn is_id(id: &str) -> bool {
    id.len() == 11 && id.bytes().all(|b| b.is_ascii_alphanumeric())
}
