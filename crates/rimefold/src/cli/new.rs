//! `rimefold new`: a commented garden file from questions or flags.

use std::path::PathBuf;

use garden::garden::{Exposure, Texture};
use garden::schema::words::{Worded, listed};
use garden::template::{Answers, write};
use quantities::UnitSystem;

use crate::cli::{NamedGarden, Output};
use crate::exit::{Exit, Failure};
use crate::outside::{files, terminal};

#[derive(clap::Args, Debug)]
pub struct Args {
    /// Folder to write garden.toml into
    #[arg(default_value = ".", conflicts_with = "named_garden")]
    folder: PathBuf,
    #[command(flatten)]
    named: NamedGarden,
    /// Ask nothing: take the flags, and refuse if a needed one is missing
    #[arg(long)]
    no_questions: bool,
    /// Name of the garden
    #[arg(long)]
    name: Option<String>,
    #[arg(long, help = listed(UnitSystem::CHOICES))]
    units: Option<String>,
    /// Degrees north
    #[arg(long, allow_negative_numbers = true)]
    latitude: Option<String>,
    /// Degrees east; west is negative
    #[arg(long, allow_negative_numbers = true)]
    longitude: Option<String>,
    /// Feet or metres above the sea
    #[arg(long, allow_negative_numbers = true)]
    elevation: Option<String>,
    /// IANA time zone, such as America/Chicago
    #[arg(long)]
    zone: Option<String>,
    #[arg(long, help = format!("{} [default: loam]", listed(Texture::CHOICES)))]
    soil: Option<String>,
    #[arg(long, help = format!("{} [default: open]", listed(Exposure::CHOICES)))]
    exposure: Option<String>,
    /// People who can cover [default: 1]
    #[arg(long)]
    people: Option<String>,
    /// Minutes each has before dark [default: 30]
    #[arg(long)]
    minutes: Option<String>,
    /// Number of beds [default: 2]
    #[arg(long)]
    beds: Option<String>,
}

/// What to ask: flag, question, answer when left empty.
type Question<'a> = (&'static str, &'a str, Option<&'static str>);

pub fn run(args: Args) -> Result<Output, Failure> {
    let folder = args.named.named.unwrap_or(args.folder);
    let path = folder.join("garden.toml");
    if path.exists() {
        return Err(Failure::new(
            Exit::Write,
            format!("{} is already there; it is left as it is", path.display()),
        ));
    }
    let quiet = args.no_questions;
    let get = |given: Option<String>, question: Question<'_>| answer(given, question, quiet);
    let name = get(args.name, ("--name", "What do you call the garden?", None))?;
    let units = get(args.units, ("--units", "Units, us or metric?", Some("us")))?;
    let units = UnitSystem::from_word(&units)
        .ok_or_else(|| wrong("--units", &units, &listed(UnitSystem::CHOICES)))?;
    let latitude = number(
        "--latitude",
        &get(args.latitude, ("--latitude", "Latitude, degrees north?", None))?,
    )?;
    let longitude = number(
        "--longitude",
        &get(args.longitude, ("--longitude", "Longitude, degrees east (west is negative)?", None))?,
    )?;
    let high = if units == UnitSystem::Us {
        "Height above the sea, feet?"
    } else {
        "Height above the sea, metres?"
    };
    let elevation = number("--elevation", &get(args.elevation, ("--elevation", high, None))?)?;
    let zone = get(args.zone, ("--zone", "Time zone, such as America/Chicago?", None))?;
    if jiff::tz::TimeZone::get(&zone).is_err() {
        return Err(wrong("--zone", &zone, "an IANA name such as America/Chicago or Europe/Paris"));
    }
    let soil =
        get(args.soil, ("--soil", &format!("Soil: {}?", listed(Texture::CHOICES)), Some("loam")))?;
    let exposure = get(
        args.exposure,
        ("--exposure", &format!("The garden lies: {}?", listed(Exposure::CHOICES)), Some("open")),
    )?;
    let people = number(
        "--people",
        &get(args.people, ("--people", "How many people can cover in the evening?", Some("1")))?,
    )?;
    let minutes = number(
        "--minutes",
        &get(args.minutes, ("--minutes", "Minutes each has before dark?", Some("30")))?,
    )?;
    let beds = number("--beds", &get(args.beds, ("--beds", "How many beds?", Some("2")))?)?;
    if !(1.0..=200.0).contains(&beds) || beds.fract() != 0.0 {
        return Err(wrong("--beds", &beds.to_string(), "a whole number from 1 to 200"));
    }
    let text = write(&Answers {
        name,
        units,
        latitude,
        longitude,
        elevation,
        zone,
        soil,
        exposure,
        people: people as u32,
        minutes,
        beds: beds as u32,
    });
    if let Some(fault) = garden::file::read(&text).faults.first() {
        return Err(Failure::new(
            Exit::Usage,
            format!("{}. It takes {}", fault.message, fault.expected),
        ));
    }
    files::write_new(&path, &text)?;
    let shown = path.display();
    let folder = folder.display();
    Ok(Output {
        text: format!("Wrote {shown}.\nEdit its beds and stock, then: rimefold check {folder}\n"),
        aside: Vec::new(),
    })
}

fn answer(given: Option<String>, question: Question<'_>, quiet: bool) -> Result<String, Failure> {
    let (flag, words, default) = question;
    if let Some(given) = given {
        return Ok(given);
    }
    let missing =
        || Failure::new(Exit::Usage, format!("{flag} is missing; give it, or answer when asked"));
    if quiet {
        return default.map(str::to_owned).ok_or_else(missing);
    }
    let asked = match default {
        Some(d) => format!("{words} [{d}]"),
        None => words.to_owned(),
    };
    for _ in 0..3 {
        let Some(answer) = terminal::ask(&asked) else { break };
        match (answer.is_empty(), default) {
            (false, _) => return Ok(answer),
            (true, Some(d)) => return Ok(d.to_owned()),
            (true, None) => {}
        }
    }
    default.map(str::to_owned).ok_or_else(missing)
}

fn number(flag: &str, words: &str) -> Result<f64, Failure> {
    words
        .parse::<f64>()
        .ok()
        .filter(|x| x.is_finite())
        .ok_or_else(|| wrong(flag, words, "a number"))
}

fn wrong(flag: &str, found: &str, expected: &str) -> Failure {
    Failure::new(Exit::Usage, format!("{flag} {found}: expected {expected}"))
}
