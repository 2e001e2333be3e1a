//! `rimefold station`: find, fetch or use the long record of a weather station near the garden.

mod find;
mod record;

use std::path::{Path, PathBuf};
use std::time::Duration;

use clap::Subcommand;
use garden::Garden;
use serde_json::json;
use weather::StationRecord;

use crate::cli::{Output, check};
use crate::exit::{Exit, Failure};
use crate::outside::fetch::{Fetched, Order, fetch};
use crate::outside::files;

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
    /// Folder of the garden, or its garden.toml
    garden: PathBuf,
    /// Identifier of the station: 11 letters and digits
    id: String,
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
    /// Folder of the garden, or its garden.toml
    garden: PathBuf,
    /// The record: daily minima and maxima (docs/formats.md tells which are read)
    file: PathBuf,
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

/// A garden and its station folder.
fn garden(given: &Path) -> Result<(Garden, PathBuf), Failure> {
    let path = files::garden_file(given);
    let (garden, _) = check::load(&path)?;
    let folder = path.parent().unwrap_or(Path::new("")).join("station");
    Ok((garden, folder))
}

fn run_fetch(args: &FetchArgs) -> Result<Output, Failure> {
    let id = args.id.to_ascii_uppercase();
    if !is_id(&id) {
        let why = format!("{}: a station's identifier is 11 letters and digits", args.id);
        return Err(Failure::new(Exit::Usage, why));
    }
    if !["http://", "https://"].iter().any(|s| args.from.starts_with(s)) {
        let why = format!("--from {}: expected an address that begins with https://", args.from);
        return Err(Failure::new(Exit::Usage, why));
    }
    let (garden, folder) = garden(&args.garden)?;
    let path = folder.join(format!("{id}.csv"));
    let check = |bytes: &[u8]| {
        let record = weather::station::read(bytes).map_err(|e| e.to_string())?;
        match record.station.id {
            Some(other) if !other.ends_with(&id) => Err(format!("it is of {other}")),
            _ => Ok(()),
        }
    };
    let url = format!("{}/{id}.csv", args.from.trim_end_matches('/'));
    let order = Order { url, path: &path, timeout: args.timeout, pause: args.pause, check: &check };
    let fetched = fetch(&order)?;
    let did = match fetched {
        Fetched::New => format!("Fetched {}.", path.display()),
        Fetched::Unchanged => format!("{} is as the server has it.", path.display()),
    };
    let record = read(&path)?;
    Ok(answer(&garden, &path, &record, &did, args.json))
}

fn run_use(args: &UseArgs) -> Result<Output, Failure> {
    let (garden, folder) = garden(&args.garden)?;
    let bytes = files::read_record(&args.file)?;
    let record = parse(&args.file, &bytes)?;
    let path = folder.join(args.file.file_name().unwrap_or(args.file.as_os_str()));
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
    Ok(answer(&garden, &path, &record, &did, args.json))
}

fn answer(
    garden: &Garden,
    path: &Path,
    record: &StationRecord,
    did: &str,
    as_json: bool,
) -> Output {
    let text = if as_json {
        let mut value = record::as_json(record, garden);
        value["file"] = json!(path.display().to_string());
        format!("{value:#}\n")
    } else {
        format!("{did}\n{}", record::as_text(record, garden))
    };
    Output { text, aside: Vec::new() }
}

/// The record in a file.
pub fn read(path: &Path) -> Result<StationRecord, Failure> {
    parse(path, &files::read_record(path)?)
}

fn parse(path: &Path, bytes: &[u8]) -> Result<StationRecord, Failure> {
    weather::station::read(bytes)
        .map_err(|e| Failure::new(Exit::Forecast, format!("{}: {e}", path.display())))
}

fn is_id(id: &str) -> bool {
    id.len() == 11 && id.bytes().all(|b| b.is_ascii_alphanumeric())
}

/// Seconds above zero, up to an hour.
fn seconds(words: &str) -> Result<Duration, String> {
    let s: f64 = words.parse().map_err(|_| "expected a number of seconds".to_owned())?;
    if s > 0.0 && s <= 3600.0 {
        Ok(Duration::from_secs_f64(s))
    } else {
        Err("expected more than 0 and at most 3600 seconds".into())
    }
}
