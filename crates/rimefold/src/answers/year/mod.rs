//! When to set out, when picking ends, what stands the winter, what the hoops carry, from past years.

pub mod events;
pub mod json;
mod kept;
pub mod svg;
pub mod text;

use garden::Garden;
use history::year::dates::{day_of_year, month_day};
use history::year::{BedYear, CoverKind, Past, Year, bed_year, of_beds};
use history::years::{Error, RunStats};
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use weather::StationRecord;

use crate::answers::kept_results::Place;
use crate::answers::progress::Progress;
use crate::answers::station;
use crate::exit::{Exit, Failure};
pub use kept::place;
use kept::{Alike, Kept};

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

/// What is asked of a year.
pub struct Question {
    /// Years it rests on; `None`: the last thirty of the record.
    pub years: Option<(i16, i16)>,
    /// Only this bed.
    pub only: Option<usize>,
    /// Chance of harm that is taken, 0 to 1.
    pub risk: f64,
    /// Seed of what is drawn.
    pub seed: u64,
}

/// The year of a garden from a record; told how far it is. Beds whose year is kept at `place` are not run again, and what is new
/// is kept there; what went wrong with that is said `aside`.
pub fn plan_year(
    garden: &Garden,
    record: &StationRecord,
    question: &Question,
    place: &Place,
    progress: &(dyn Fn(usize, usize) + Sync),
    aside: &mut Vec<String>,
) -> Result<Answer, Failure> {
    let asked = station::years(record, question.years);
    let ready = |wanted: &dyn Fn(usize) -> bool| {
        Past::new(garden, record, asked.0..=asked.1, wanted, question.seed).map_err(|e| failure(&e))
    };
    let past = ready(&|b| question.only.is_none_or(|o| o == b))?.without_nights();
    let kept = Kept::read(place);
    let first = |b: &usize| past.alike(*b).and_then(<[_]>::first) == Some(b);
    let kinds: Vec<usize> = (0..garden.beds.len()).filter(first).collect();
    let mut all: Vec<Alike> = kinds.iter().filter_map(|b| kept.of(&past, *b)).collect();
    let there: Vec<usize> = all.iter().flat_map(|a| &a.beds).map(|b| b.bed).collect();
    let missing: Vec<usize> = kinds.into_iter().filter(|b| !there.contains(b)).collect();
    if !missing.is_empty() {
        let alike = |b: usize| past.alike(b).unwrap_or_default();
        let new: Vec<usize> = missing.iter().flat_map(|b| alike(*b)).copied().collect();
        let mut run = ready(&|b| new.contains(&b))?;
        let batches = run.batches();
        let progress = Progress::new(batches.len() * run.parts(), progress);
        for batch in &batches {
            run.run(batch, &|| progress.step()).map_err(|e| failure(&e))?;
        }
        all.extend(missing.iter().map(|b| Alike {
            stats: run.stats_of(*b),
            beds: alike(*b).iter().filter_map(|b| bed_year(&run, *b, question.risk)).collect(),
        }));
        if let Err(e) = Kept::write(place, garden, &all) {
            aside.push(format!("(results are not kept: {})", e.message));
        }
    }
    let mut stats = RunStats::default();
    all.iter().for_each(|a| stats.add(&a.stats));
    let mut beds: Vec<BedYear> = all.into_iter().flat_map(|a| a.beds).collect();
    beds.sort_by_key(|b| b.bed);
    let held = asked.0.max(*record.years().start())..=asked.1.min(*record.years().end());
    Ok(Answer {
        station: record.station.name.clone().or_else(|| record.station.id.clone()),
        year: of_beds(&past, beds, question.risk),
        stats,
        new_year: past.new_year(),
        snow: record.has_snow(),
        // The last year of a record is seldom whole; only years that were asked for are missed.
        left_out: match question.years {
            Some(_) => held.count().saturating_sub(past.years().len()),
            None => 0,
        },
        garden: garden.clone(),
    })
}

fn failure(e: &Error) -> Failure {
    Failure::from_fault(e, Exit::Unsuitable)
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
    pub fn season_of(&self, now: Timestamp) -> i16 {
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
