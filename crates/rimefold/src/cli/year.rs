//! `rimefold year`: when to set out, when picking ends, what stands the winter, what the hoops carry, from past years.

mod events;
mod json;
pub mod text;

use std::path::PathBuf;

use garden::Garden;
use history::year::dates::{day_of_year, month_day};
use history::year::{CoverKind, Past, Year, plan};
use history::years::{Error, RunStats};
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use weather::StationRecord;

use crate::cli::{Output, bed_named, check};
use crate::draw::year_svg;
use crate::exit::{Exit, Failure};
use crate::ics;
use crate::outside::{clock, files, terminal};

#[derive(clap::Args, Debug)]
pub struct Args {
    /// Folder of the garden, or its garden.toml
    #[arg(default_value = ".")]
    garden: PathBuf,
    /// Daily station record; else the one beside the garden
    #[arg(long, value_name = "FILE")]
    station: Option<PathBuf>,
    /// Years it rests on, such as 1991-2020 [default: the last thirty of the record]
    #[arg(long, value_name = "FROM-TO", value_parser = super::replay::years)]
    years: Option<(i16, i16)>,
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

/// The answer, which text, JSON, drawing and calendar all render.
pub struct Answer {
    /// The garden.
    pub garden: Garden,
    /// Name or identifier of the station, where its file gives one.
    pub station: Option<String>,
    /// The year.
    pub year: Year,
    /// Proof and effort.
    pub stats: RunStats,
    /// Day of the year from which days are counted.
    pub new_year: u16,
    /// Whether the record has the depth of snow.
    pub snow: bool,
    /// Years asked for and left out for want of days.
    pub left_out: usize,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let path = files::garden_file(&args.garden);
    let (garden, _) = check::load(&path)?;
    let only = args.bed.as_deref().map(|name| bed_named(&garden, name)).transpose()?;
    let station = args.station.clone().or_else(|| files::station(&path));
    let station = station.ok_or_else(|| Failure::new(Exit::Missing, super::replay::NO_STATION))?;
    let record = super::station::read(&station)?;
    let risk = f64::from(args.risk) / 100.0;
    let progress = |step: &str| terminal::progress(step);
    let answer = reckon(&garden, &record, args.years, only, risk, args.seed, &progress)?;
    terminal::progress("");
    written(&answer, args)
}

/// The year of a garden from a record: the years asked for or the last thirty, all beds or one; told of each step.
pub fn reckon(
    garden: &Garden,
    record: &StationRecord,
    years: Option<(i16, i16)>,
    only: Option<usize>,
    risk: f64,
    seed: u64,
    progress: &dyn Fn(&str),
) -> Result<Answer, Failure> {
    let last = *record.years().end();
    let asked = years.unwrap_or((last.saturating_sub(super::replay::USUAL_YEARS), last));
    let held = asked.0.max(*record.years().start())..=asked.1.min(last);
    let mut past =
        Past::new(garden, record, asked.0..=asked.1, only, seed).map_err(|e| failure(&e))?;
    for batch in past.batches() {
        if let (Some(first), Some(last)) = (batch.first(), batch.last()) {
            progress(&format!("running {first} to {last} …"));
        }
        past.run(&batch).map_err(|e| failure(&e))?;
    }
    Ok(Answer {
        station: record.station.name.clone().or_else(|| record.station.id.clone()),
        year: plan(&past, risk),
        stats: past.stats(),
        new_year: past.new_year(),
        snow: record.has_snow(),
        // The last year of a record is seldom whole; only years that were asked for are missed.
        left_out: if years.is_some() { held.count().saturating_sub(past.years().len()) } else { 0 },
        garden: garden.clone(),
    })
}

fn written(answer: &Answer, args: &Args) -> Result<Output, Failure> {
    let mut aside = Vec::new();
    if let Some(file) = &args.svg {
        files::write_new(file, year_svg::draw(answer))?;
        aside.push(format!("drawn in {}", file.display()));
    }
    if let Some(file) = &args.ics {
        let now = Timestamp::from_second(clock::now().0).unwrap_or_default();
        let season = args.season.unwrap_or_else(|| answer.season_of(now));
        let name = format!("{}: the year {season}", answer.garden.name);
        files::write_new(file, ics::calendar(&name, now, &events::of(answer, season)))?;
        aside.push(format!("calendar in {}", file.display()));
    }
    let text = if args.json { json::write(answer) } else { text::write(answer, terminal::width()) };
    Ok(Output { text, aside })
}

fn failure(e: &Error) -> Failure {
    super::replay::failure(e)
}

impl Answer {
    /// The date in a season of a day from the middle of winter; a southern season is named after the year it ends in.
    pub fn date(&self, index: usize, season: i16) -> Date {
        let (month, day) = month_day(index, self.new_year);
        let before = day_of_year(index, self.new_year) < index + 1;
        let year = if self.new_year > 1 && !before { season.saturating_sub(1) } else { season };
        Date::new(year, month, day).unwrap_or_default()
    }

    /// The season that a moment lies in.
    fn season_of(&self, now: Timestamp) -> i16 {
        let zone = TimeZone::get(&self.garden.zone).unwrap_or(TimeZone::UTC);
        let today = now.to_zoned_datetime(zone).date();
        let after = self.new_year > 1 && today.day_of_year() >= self.new_year as i16;
        today.year() + i16::from(after)
    }

    /// `3 May`.
    pub fn day(&self, index: usize) -> String {
        self.date(index, 2001).strftime("%-d %B").to_string()
    }

    /// Name of a planting: its bed, and the crop where the bed holds more than one.
    pub fn name(&self, bed: usize, planting: usize) -> String {
        let Some(b) = self.garden.beds.get(bed) else { return String::new() };
        match b.plantings.get(planting).filter(|_| b.plantings.len() > 1) {
            Some(p) => format!("{}, {}", b.name, garden::crops::name(p.crop)),
            None => b.name.clone(),
        }
    }

    /// `1991 to 2020`.
    pub fn span(&self) -> String {
        match (self.year.years.first(), self.year.years.last()) {
            (Some(a), Some(b)) if a != b => format!("{a} to {b}"),
            (Some(a), _) => a.to_string(),
            _ => "no years".into(),
        }
    }

    /// `one year in ten`.
    pub fn risk(&self) -> String {
        let percent = (100.0 * self.year.risk).round() as u32;
        match percent {
            50 => "one year in two".into(),
            25 => "one year in four".into(),
            20 => "one year in five".into(),
            10 => "one year in ten".into(),
            5 => "one year in twenty".into(),
            1 => "one year in a hundred".into(),
            p => format!("{p} years in a hundred"),
        }
    }
}

/// The word of what hoops carry.
pub fn word(what: CoverKind) -> &'static str {
    match what {
        CoverKind::Cloth => "cloth",
        CoverKind::WinterCloth => "winter cloth",
        CoverKind::Net => "insect net",
        CoverKind::Shade => "shade cloth",
    }
}
