//! Entries in plain words, in the garden's units and zone.

use diary::entry::{Act, Cover, Entry, Place, Sighting, What};
use diary::keyword::Keyword as _;
use quantities::UnitSystem;
use quantities::units::fahrenheit_from_celsius;

use crate::format::GardenFormat;

/// A temperature to a tenth, as a bare number, without a needless `.0` or `-0`.
pub fn tenth(words: &GardenFormat, celsius: f64) -> String {
    let us = words.units == UnitSystem::Us;
    let x = if us { fahrenheit_from_celsius(celsius) } else { celsius };
    let tenths = (x * 10.0).round() / 10.0;
    format!("{}", if tenths == 0.0 { 0.0 } else { tenths })
}

/// Where a thermometer hangs.
pub fn place(place: &Place) -> String {
    match place {
        Place::Open { bed: None } => "in the open".into(),
        Place::Open { bed: Some(bed) } => format!("{bed}, in the open"),
        Place::Under { bed, sheet: None } => format!("{bed}, under its cover"),
        Place::Under { bed, sheet: Some(sheet) } => format!("{bed}, under “{sheet}”"),
    }
}

/// What happened.
pub fn what(entry: &Entry, words: &GardenFormat) -> String {
    match &entry.what {
        What::Reading { extreme, celsius, place } => {
            let extreme = extreme.keyword();
            let celsius = tenth(words, *celsius);
            format!("{extreme} {celsius} {}, {}", words.degree(), self::place(place))
        }
        What::Cover { act, cover: Cover { bed, sheet, .. } } => {
            let sheet = sheet.as_ref().map(|s| format!("“{s}”"));
            match (act, sheet) {
                (Act::Covered, Some(sheet)) => format!("{bed} covered with {sheet}"),
                (Act::Opened, Some(sheet)) => format!("{sheet} taken off {bed}"),
                (_, Some(sheet)) => format!("{bed} {} ({sheet})", act.keyword()),
                (_, None) => format!("{bed} {}", act.keyword()),
            }
        }
        What::Seen { sighting: Sighting::Loss(share), bed } => {
            format!("{bed}: {} % lost", (share * 1000.0).round() / 10.0)
        }
        What::Seen { sighting: Sighting::SnowBrushed, bed } => format!("{bed}: snow brushed off"),
        What::Seen { sighting: Sighting::Voles, bed } => format!("{bed}: voles"),
        What::Sheet { state, sheet } => format!("“{sheet}” {}", state.keyword()),
        What::Done { plan, task, .. } => format!("task {task} of plan {} done", plan.short()),
        What::Undo { strikes } => format!("{} undone", strikes.short()),
    }
}
