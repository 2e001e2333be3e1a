//! The command line: one verb a file, from arguments to an answer and from that to text or JSON.

mod check;
mod cut;
mod demo;
mod diary;
mod fetch;
mod hoops;
mod kit;
mod learn;
mod new;
mod note;
mod replay;
mod sensor;
mod serve;
mod station;
mod tonight;
mod watch;
mod weather_args;
mod week;
mod year;

use std::path::PathBuf;

use clap::{Parser, Subcommand};
use garden::Garden;
use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use quantities::Moment;

use crate::exit::{Exit, Failure};
use crate::format::count;
use crate::outside::files;

/// What to cover tonight, with what, by when, and why.
#[derive(Parser, Debug)]
#[command(name = "rimefold", version, max_term_width = 80)]
pub struct Cli {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Subcommand, Debug)]
enum Verb {
    /// Plan this evening: beds, covers, order, deadline, reasons
    Tonight(tonight::Args),
    /// Plan the nights that the forecast reaches as one: what stays on, what opens, what is short
    Week(week::Args),
    /// Fetch the forecast from where the garden file says
    Fetch(fetch::Args),
    /// Read a garden file and show every fault and warning
    Check(check::Args),
    /// Cut hoops from wire and sheets from cloth, buying the least
    Cut(cut::Args),
    /// Draw the hoops of a bed, with what they stand in snow and wind
    Hoops(hoops::Args),
    /// Write a commented garden file from questions or flags
    New(new::Args),
    /// Find, fetch or use the long record of a weather station: frost dates
    Station(station::Args),
    /// Replay past years of a station on this garden and compare ways to decide
    Replay(replay::Args),
    /// Which sheets, hoops, pins and clips to own, and what to buy when
    Kit(kit::Args),
    /// Give each bed its dates, its winter and what its hoops carry through the year
    Year(year::Args),
    /// What this garden's own thermometer has taught; stop or forget it
    Learn(learn::Args),
    /// Automatic thermometers: how they are, files of loggers, the token of those that send
    Sensor(sensor::Args),
    /// Write down what happened: readings, covers, losses; list them, take them back
    Note(note::Args),
    /// The diary in and out of files, backups, and how well was said what came
    Diary(diary::Args),
    /// Open the garden's pages in a browser: the whole job, on a phone or at a table
    Serve(serve::Args),
    /// Fetch, plan each evening and tell people in time, for one or many gardens, without pages
    Watch(watch::Args),
    /// Plan an evening of an invented garden, to see what it looks like
    Demo(demo::Args),
}

/// What a verb has to say.
#[derive(Debug, Default)]
pub struct Output {
    /// The answer.
    pub text: String,
    /// Remarks beside it.
    pub aside: Vec<String>,
}

impl From<String> for Output {
    fn from(text: String) -> Self {
        Self { text, aside: Vec::new() }
    }
}

/// The garden that a verb is about: `rimefold hoops my-garden` or, as with every verb, `--garden my-garden`.
#[derive(clap::Args, Debug)]
pub struct GardenArg {
    /// Folder of the garden, or its garden.toml [default: .]
    #[arg(value_name = "GARDEN", conflicts_with = "named_garden")]
    garden: Option<PathBuf>,
    #[command(flatten)]
    named: NamedGarden,
}

/// The garden by its flag.
#[derive(clap::Args, Debug)]
pub struct NamedGarden {
    /// The same by its name
    #[arg(id = "named_garden", long = "garden", value_name = "GARDEN", hide = true)]
    named: Option<PathBuf>,
}

impl GardenArg {
    /// The folder or file that was named.
    fn path(&self) -> PathBuf {
        let named = self.garden.as_ref().or(self.named.named.as_ref());
        named.cloned().unwrap_or_else(|| PathBuf::from("."))
    }

    /// Its garden.toml.
    fn file(&self) -> PathBuf {
        files::garden_file(&self.path())
    }
}

/// Runs the verb.
pub fn run(cli: Cli) -> Result<Output, Failure> {
    match cli.verb {
        Verb::Tonight(args) => tonight::run(&args),
        Verb::Week(args) => week::run(&args),
        Verb::Fetch(args) => fetch::run(&args),
        Verb::Check(args) => check::run(&args),
        Verb::Cut(args) => cut::run(&args),
        Verb::Hoops(args) => hoops::run(&args),
        Verb::New(args) => new::run(args),
        Verb::Station(args) => station::run(args),
        Verb::Replay(args) => replay::run(&args),
        Verb::Kit(args) => kit::run(&args),
        Verb::Year(args) => year::run(&args),
        Verb::Learn(args) => learn::run(&args),
        Verb::Sensor(args) => sensor::run(&args),
        Verb::Note(args) => note::run(args),
        Verb::Diary(args) => diary::run(&args),
        Verb::Serve(args) => serve::run(&args),
        Verb::Watch(args) => watch::run(&args),
        Verb::Demo(args) => demo::run(&args),
    }
}

/// Seconds above zero, up to an hour.
fn seconds(words: &str) -> Result<std::time::Duration, String> {
    let s: f64 = words.parse().map_err(|_| "expected a number of seconds".to_owned())?;
    if s > 0.0 && s <= 3600.0 {
        Ok(std::time::Duration::from_secs_f64(s))
    } else {
        Err("expected more than 0 and at most 3600 seconds".into())
    }
}

/// Index of the bed of that name; upper and lower case are alike.
fn bed_named(garden: &Garden, name: &str) -> Result<usize, Failure> {
    garden.beds.iter().position(|b| b.name.eq_ignore_ascii_case(name)).ok_or_else(|| {
        let names: Vec<&str> = garden.beds.iter().map(|b| b.name.as_str()).collect();
        let message = format!("no bed is called `{name}`; there are: {}", names.join(", "));
        Failure::new(Exit::Usage, message)
    })
}

/// A remark on a garden file with warnings.
fn warned(warnings: &[String]) -> Option<String> {
    let n = count(warnings.len(), "warning");
    (!warnings.is_empty()).then(|| format!("({n} about the garden file: run `rimefold check`)"))
}

/// Years of a record: `1991-2020`, or one year.
fn record_years(words: &str) -> Result<(i16, i16), String> {
    let bad = || "expected years such as 1991-2020".to_owned();
    let (from, to) = words.split_once('-').unwrap_or((words, words));
    let year = |w: &str| w.trim().parse::<i16>().ok().filter(|y| (1700..=2200).contains(y));
    let (from, to) = year(from).zip(year(to)).ok_or_else(bad)?;
    if from > to { Err(bad()) } else { Ok((from, to)) }
}

/// A moment from RFC 3339 or from local civil time.
fn moment(words: &str, zone: &str) -> Result<Moment, Failure> {
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
