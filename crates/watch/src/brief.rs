//! A plan as far as messages need it.

use evening::report::{
    BedReport, MorningAction, MorningReason, MorningTask, Report, Warning, WarningKind,
};
use garden::Garden;
use garden::fit::{Cover, Item};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use quantities::Moment;
use serde::{Deserialize, Serialize};

/// A plan of one night.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Brief {
    /// Local date of its evening.
    pub night: Date,
    /// Sunset, s since 1970.
    pub sunset: i64,
    /// Too dark to work from here.
    pub dark: i64,
    /// Sunrise after the night.
    pub sunrise: i64,
    /// Latest start of the work, where there is any.
    pub start_by: Option<i64>,
    /// Every bed.
    pub beds: Vec<BedBrief>,
    /// What is opened in the morning or by day.
    pub opens: Vec<Opens>,
    /// What snow and wind threaten: `snow` or `wind` and a bed.
    pub threats: Vec<String>,
    /// Start of the first half-hour of `air_p10_c`.
    pub air_from: i64,
    /// Air that one night in ten is colder than, half-hour by half-hour, °C.
    pub air_p10_c: Vec<f64>,
}

/// One bed of it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct BedBrief {
    /// Bed.
    pub bed: String,
    /// What lies on it at night when the plan is followed; empty: nothing.
    pub ends: String,
    /// Whether somebody must do something for that.
    pub to_do: bool,
    /// Chance that a tenth or more is lost, left as it lies.
    pub left: f64,
    /// The same, the plan followed.
    pub chance: f64,
    /// When it reaches its limit as it lies, on the night in the middle.
    pub reaches: Option<i64>,
}

/// A cover to be opened.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Opens {
    /// Bed.
    pub bed: String,
    /// By then.
    pub by: i64,
    /// Whether heat or sun on film harms the plants after that.
    pub heat: bool,
}

/// Chances are told in hundredths; more digits would only make two plans differ.
fn hundredths(x: f64) -> f64 {
    (x * 100.0).round() / 100.0
}

impl Brief {
    /// The part of a plan that messages need.
    ///
    /// Checked by `decide::*` through `nights`, and by the program's `watch::*`.
    #[must_use]
    pub fn new(report: &Report, garden: &Garden) -> Self {
        let zone = TimeZone::get(&garden.zone).unwrap_or(TimeZone::UTC);
        let to_do: Vec<usize> = report.work.iter().map(|t| t.bed).collect();
        let beds = report.beds.iter().enumerate();
        let opening = |tasks: &[MorningTask]| -> Vec<Opens> {
            tasks.iter().filter_map(|t| opens(t, report)).collect()
        };
        let today = opening(&report.today);
        let air = &report.weather.air_temperatures;
        Self {
            night: diary::night::of_sunset(report.sun.sunset, &zone),
            sunset: report.sun.sunset.0,
            dark: report.sun.dark.0,
            sunrise: report.sun.sunrise.0,
            start_by: report.start_by.map(|m| m.0),
            beds: beds.map(|(n, b)| bed(b, to_do.contains(&n), garden)).collect(),
            opens: if today.is_empty() { opening(&report.morning) } else { today },
            threats: report.warnings.iter().flat_map(threats).collect(),
            air_from: air.start.0,
            air_p10_c: air.half_hours.iter().map(|s| (s.p10 * 10.0).round() / 10.0).collect(),
        }
    }

    /// Whether anything is to be done this evening.
    #[must_use]
    pub fn has_work(&self) -> bool {
        self.beds.iter().any(|b| b.to_do)
    }

    /// The air that one night in ten is colder than at a moment, °C.
    #[must_use]
    pub fn air_p10_at(&self, at: Moment) -> Option<f64> {
        let n = usize::try_from((at.0 - self.air_from).div_euclid(1800)).ok()?;
        self.air_p10_c.get(n).copied()
    }

    /// A bed by its name.
    #[must_use]
    pub fn bed(&self, name: &str) -> Option<&BedBrief> {
        self.beds.iter().find(|b| b.bed == name)
    }
}

fn bed(report: &BedReport, to_do: bool, garden: &Garden) -> BedBrief {
    let chosen = report.chosen.and_then(|c| report.options.get(c));
    let lies = || {
        let covers = report.lies.iter().filter(|l| l.against_cold());
        covers.map(|l| named(&l.cover, garden)).collect::<Vec<_>>().join(" + ")
    };
    let ends = match chosen {
        Some(option) => named(&option.cover, garden),
        None if report.takes_off => String::new(),
        None => lies(),
    };
    let outcome = chosen.map_or(&report.open, |o| &o.outcome);
    BedBrief {
        bed: report.bed.clone(),
        ends,
        to_do,
        left: hundredths(report.open.chance_of_harm),
        chance: hundredths(outcome.chance_of_harm),
        reaches: report.open.reaches_limit_at.map(|m| m.0),
    }
}

/// What a warning threatens.
fn threats(warning: &Warning) -> impl Iterator<Item = String> {
    let snow = matches!(warning.kind, WarningKind::SnowLoad { .. });
    warning.beds.iter().map(move |bed| threat(snow, bed))
}

/// What snow, or else wind, threatens at a bed.
#[must_use]
pub fn threat(snow: bool, bed: &str) -> String {
    format!("{} {bed}", if snow { "snow" } else { "wind" })
}

/// What a cover is of, by the names of the garden file.
fn named(cover: &Cover, garden: &Garden) -> String {
    let name = |item: Item| match item {
        Item::Sheet(i) => garden.stock.sheets.get(i).map(|s| s.name.clone()),
        Item::PopUp(i) => garden.stock.pop_ups.get(i).map(|p| p.name.clone()),
        Item::LooseMulchLitres => Some("mulch".to_owned()),
        Item::Pins | Item::Clips => None,
    };
    let names: Vec<String> = cover.uses.iter().filter_map(|(item, _)| name(*item)).collect();
    let names = names.join(" + ");
    if cover.layers > 1 { format!("{names} ×{}", cover.layers) } else { names }
}

fn opens(task: &MorningTask, report: &Report) -> Option<Opens> {
    if task.action == MorningAction::LeaveOn {
        return None;
    }
    let heat = matches!(task.why, MorningReason::Heat { .. } | MorningReason::SunOnFilm);
    let bed = report.beds.get(task.bed)?.bed.clone();
    Some(Opens { bed, by: task.late_since.unwrap_or(task.by).0, heat })
}
