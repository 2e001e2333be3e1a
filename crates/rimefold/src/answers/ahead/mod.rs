//! The nights ahead as a table and a picture of lows: harm left open and as planned, bed by bed.

pub mod svg;

use evening::constants::SAFE_CHANCE;
use evening::week::report::{BedNight, BedWeek, NightAhead, WeekReport};
use garden::Garden;

use crate::answers::tonight::wording::few_words;
use crate::format::{GardenFormat, count, percent};

/// The table of nights and beds.
pub struct Ahead {
    /// What the table shows.
    pub caption: String,
    /// Its columns.
    pub nights: Vec<Night>,
    /// One row a bed.
    pub rows: Vec<Row>,
}

/// A night.
pub struct Night {
    pub day: String,
    pub low: String,
}

/// A bed through the nights.
pub struct Row {
    /// Its place in the garden file, from 1.
    pub number: usize,
    pub bed: String,
    pub cells: Vec<Cell>,
}

/// A bed in one night.
pub struct Cell {
    /// Chance of harm left open.
    pub open: String,
    /// The same as planned; empty where it is left open.
    pub covered: String,
    pub what: String,
    pub cover: bool,
    pub risk: bool,
}

/// The table of a plan; `None` where it has no night.
pub fn table(report: &WeekReport, garden: &Garden) -> Option<Ahead> {
    let first = report.nights.first()?;
    let words = GardenFormat::new(garden.units, &garden.zone);
    let night = |n: &NightAhead| Night {
        day: words.short_date(n.sunset),
        low: format!("low {}", words.spread(&n.garden_low_c)),
    };
    let row = |(i, bed): (usize, &BedWeek)| Row {
        number: i + 1,
        bed: bed.bed.clone(),
        cells: bed.nights.iter().map(|n| cell(bed, n, garden)).collect(),
    };
    Some(Ahead {
        caption: format!(
            "{} from {}; temperatures in {}, the middle and eight nights in ten",
            count(report.nights.len(), "night"),
            words.date(first.sunset),
            words.degree()
        ),
        nights: report.nights.iter().map(night).collect(),
        rows: report.beds.iter().enumerate().map(row).collect(),
    })
}

fn cell(bed: &BedWeek, night: &BedNight, garden: &Garden) -> Cell {
    let cover = night.night.option().and_then(|c| bed.options.get(c));
    let harm = |p: f64| if bed.at_risk { percent(p) } else { "–".into() };
    Cell {
        open: harm(night.chance_open),
        covered: cover.map_or_else(String::new, |_| harm(night.chance)),
        what: cover.map_or_else(String::new, |c| few_words(c, garden)),
        cover: cover.is_some(),
        risk: cover.is_none() && night.chance_open >= SAFE_CHANCE,
    }
}
