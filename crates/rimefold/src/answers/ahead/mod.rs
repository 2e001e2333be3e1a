//! The nights ahead: harm left open and under each night's plan, bed by bed.

pub mod svg;

use evening::report::{BedReport, Report};
use garden::Garden;

use crate::answers::tonight::wording::PlanWording;
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

/// The table of these plans, the first night's first; `None` where there are none.
pub fn table(reports: &[Report], garden: &Garden) -> Option<Ahead> {
    let first = reports.first()?;
    let words = GardenFormat::new(garden.units, &garden.zone);
    let night = |r: &Report| Night {
        day: words.short_date(r.sun.sunset),
        low: format!("low {}", words.spread(&r.weather.garden_low_c)),
    };
    let row = |(i, bed): (usize, &BedReport)| Row {
        number: i + 1,
        bed: bed.bed.clone(),
        cells: reports.iter().map(|r| cell(&r.beds[i], &PlanWording::new(r, garden))).collect(),
    };
    Some(Ahead {
        caption: format!(
            "{} from {}; temperatures in {}, the middle and eight nights in ten",
            count(reports.len(), "night"),
            words.date(first.sun.sunset),
            words.degree()
        ),
        nights: reports.iter().map(night).collect(),
        rows: first.beds.iter().enumerate().map(row).collect(),
    })
}

fn cell(bed: &BedReport, told: &PlanWording<'_>) -> Cell {
    let option = bed.chosen.and_then(|c| bed.options.get(c));
    let harm = |p: f64| if bed.limit_c.is_some() { percent(p) } else { "–".into() };
    Cell {
        open: harm(bed.open.chance_of_harm),
        covered: option.map_or_else(String::new, |o| harm(o.outcome.chance_of_harm)),
        what: option.map_or_else(String::new, |o| told.cover(o)),
        cover: option.is_some(),
        risk: PlanWording::at_risk(bed),
    }
}
