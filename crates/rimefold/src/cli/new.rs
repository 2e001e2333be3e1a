//! `rimefold new`: a commented garden file from questions or flags.

use std::path::PathBuf;

use garden::garden::{Exposure, Texture};
use garden::schema::words::{Worded, listed};
use garden::template::{Answers, write};
use garden::towns::{self, Town};
use quantities::UnitSystem;

use crate::cli::{NamedGarden, Output};
use crate::exit::{Exit, Failure};
use crate::format;
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
    /// Nearest town of 15,000 people or more, such as "Madison, WI": gives place, zone and units
    #[arg(long, conflicts_with_all = ["latitude", "longitude", "zone"])]
    town: Option<String>,
    #[arg(long, help = listed(UnitSystem::CHOICES))]
    units: Option<String>,
    /// Degrees north, such as 43.6 or 45.85S
    #[arg(long, allow_negative_numbers = true)]
    latitude: Option<String>,
    /// Degrees east, such as 5.9 or 90.9W
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

/// Most towns of a name that are named.
const TOWNS_SHOWN: usize = 8;

/// What to ask: flag, words, answer when left empty.
struct Question<'a> {
    flag: &'static str,
    words: &'a str,
    usual: Option<&'static str>,
}

impl<'a> Question<'a> {
    fn new(flag: &'static str, words: &'a str) -> Self {
        Self { flag, words, usual: None }
    }

    fn or(self, usual: &'static str) -> Self {
        Self { usual: Some(usual), ..self }
    }
}

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
    let name =
        ask(quiet, args.name, &Question::new("--name", "What do you call the garden?"), some)?;
    let by_degrees = args.latitude.is_some() || args.longitude.is_some();
    let words = "Nearest town, such as Madison, WI? (Nothing: latitude and longitude instead.)";
    let town = match args.town {
        None if quiet || by_degrees => None,
        given => ask(false, given, &Question::new("--town", words).or(""), town)?,
    };
    let usual = if town.is_some_and(|t| !t.is_us()) { "metric" } else { "us" };
    let asked = Question::new("--units", "Units, us or metric?").or(usual);
    let units = ask(quiet, args.units, &asked, word::<UnitSystem>)?;
    let of_town = |degrees: fn(&Town) -> f64| town.as_ref().map(|t| degrees(t).to_string());
    let asked = Question::new("--latitude", "Latitude, such as 43.6 or 45.85 S?");
    let given = args.latitude.or_else(|| of_town(|t| t.latitude_deg));
    let latitude = ask(quiet, given, &asked, |t| side(t, format::LATITUDE_SIDES, 66.0))?;
    let asked = Question::new("--longitude", "Longitude, such as 5.9 or 90.9 W?");
    let given = args.longitude.or_else(|| of_town(|t| t.longitude_deg));
    let longitude = ask(quiet, given, &asked, |t| side(t, format::LONGITUDE_SIDES, 180.0))?;
    let high = if units == UnitSystem::Us {
        "Height above the sea, feet?"
    } else {
        "Height above the sea, metres?"
    };
    let elevation = ask(quiet, args.elevation, &Question::new("--elevation", high), |t| {
        format::number(t).ok_or_else(|| "a number".to_owned())
    })?;
    let asked = Question::new("--zone", "Time zone, such as America/Chicago?");
    let given = args.zone.or_else(|| town.map(|t| t.zone.to_owned()));
    let zone = ask(quiet, given, &asked, zone)?;
    let words = format!("Soil: {}?", listed(Texture::CHOICES));
    let asked = Question::new("--soil", &words).or("loam");
    let soil = ask(quiet, args.soil, &asked, |t| word::<Texture>(t).map(|_| t.to_owned()))?;
    let words = format!("The garden lies: {}?", listed(Exposure::CHOICES));
    let asked = Question::new("--exposure", &words).or("open");
    let exposure =
        ask(quiet, args.exposure, &asked, |t| word::<Exposure>(t).map(|_| t.to_owned()))?;
    let asked = Question::new("--people", "How many people can cover in the evening?").or("1");
    let people = ask(quiet, args.people, &asked, |t| whole(t, 50.0))?;
    let asked = Question::new("--minutes", "Minutes each has before dark?").or("30");
    let minutes = ask(quiet, args.minutes, &asked, |t| within(t, 0.0, 600.0))?;
    let beds = ask(quiet, args.beds, &Question::new("--beds", "How many beds?").or("2"), |t| {
        whole(t, 200.0)
    })?;
    let text = write(&Answers {
        name,
        units,
        latitude,
        longitude,
        elevation,
        zone,
        soil,
        exposure,
        people,
        minutes,
        beds,
    });
    if let Some(fault) = garden::file::read(&text).faults.first() {
        return Err(Failure::new(
            Exit::Usage,
            format!("{}. {}", fault.message, fault.could_stand()),
        ));
    }
    files::write_new(&path, &text)?;
    let shown = path.display();
    let folder = folder.display();
    Ok(Output {
        text: format!(
            "Wrote {shown}.\nSay in it what stands in the beds and what you own, then: rimefold check {folder}\n"
        ),
        aside: Vec::new(),
    })
}

/// The answer to a question: the flag's, else what is typed, asked again after what cannot be. Where nobody answers nothing is
/// made up.
fn ask<T>(
    quiet: bool,
    given: Option<String>,
    question: &Question<'_>,
    read: impl Fn(&str) -> Result<T, String>,
) -> Result<T, Failure> {
    let flag = question.flag;
    if let Some(given) = given {
        return read(&given).map_err(|expected| wrong(flag, &given, &expected));
    }
    let missing =
        || Failure::new(Exit::Usage, format!("{flag} is missing; give it, or answer when asked"));
    if quiet {
        let usual = question.usual.ok_or_else(missing)?;
        return read(usual).map_err(|expected| wrong(flag, usual, &expected));
    }
    let words = match question.usual {
        Some(usual) if !usual.is_empty() => format!("{} [{usual}]", question.words),
        _ => question.words.to_owned(),
    };
    loop {
        let typed = terminal::ask(&words).ok_or_else(missing)?;
        let answer = if typed.is_empty() { question.usual.unwrap_or_default() } else { &typed };
        match read(answer) {
            Ok(x) => return Ok(x),
            Err(expected) => terminal::aside(&format!("“{answer}”: expected {expected}.")),
        }
    }
}

/// The one town of that name; nothing for no words.
fn town(text: &str) -> Result<Option<Town>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let found = towns::called(text, TOWNS_SHOWN);
    match found[..] {
        [] => Err("a town of 15,000 people or more, or nothing".to_owned()),
        [one] => Ok(Some(one)),
        _ => {
            let told: Vec<String> = found.iter().map(|t| format!("“{}”", t.told())).collect();
            // Written out in full, a name is meant.
            let meant = found.iter().find(|t| t.told().eq_ignore_ascii_case(text.trim()));
            meant.map(|t| Some(*t)).ok_or_else(|| format!("one of {}", told.join(", ")))
        }
    }
}

fn some(text: &str) -> Result<String, String> {
    if text.trim().is_empty() { Err("a name".to_owned()) } else { Ok(text.trim().to_owned()) }
}

fn word<T: Worded>(text: &str) -> Result<T, String> {
    T::from_word(text).ok_or_else(|| listed(T::CHOICES))
}

fn zone(text: &str) -> Result<String, String> {
    jiff::tz::TimeZone::get(text)
        .map(|_| text.to_owned())
        .map_err(|_| "an IANA name such as America/Chicago or Europe/Paris".to_owned())
}

fn side(text: &str, sides: [char; 2], most: f64) -> Result<f64, String> {
    let [positive, negative] = sides;
    let expected = || format!("degrees from -{most} to {most}, or with {positive} or {negative}");
    format::degrees(text, sides).filter(|x| x.abs() <= most).ok_or_else(expected)
}

fn within(text: &str, least: f64, most: f64) -> Result<f64, String> {
    let expected = || format!("a number from {least} to {most}");
    format::number(text).filter(|x| (least..=most).contains(x)).ok_or_else(expected)
}

fn whole(text: &str, most: f64) -> Result<u32, String> {
    let expected = || format!("a whole number from 1 to {most}");
    let x = within(text, 1.0, most).map_err(|_| expected())?;
    if x.fract() == 0.0 { Ok(x as u32) } else { Err(expected()) }
}

fn wrong(flag: &str, found: &str, expected: &str) -> Failure {
    Failure::new(Exit::Usage, format!("{flag} {found}: expected {expected}"))
}
