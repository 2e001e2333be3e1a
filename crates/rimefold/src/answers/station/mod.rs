//! The long record of a weather station near the garden: where it is, what it holds, its frost dates.

pub mod climate;
pub mod find;
pub mod json;
pub mod svg;
pub mod text;

use std::path::{Path, PathBuf};

use garden::Garden;
use weather::StationRecord;
use weather::frost::FrostDates;

use crate::exit::{Exit, Failure};
use crate::format::GardenFormat;
use crate::outside::files;

/// Years of a record that answers rest on when none are named.
pub const USUAL_YEARS: i16 = 30;

const NO_RECORD: &str = "no station record: name a file with --station FILE, or get one for good:\n\
     rimefold station find GARDEN         stations near the garden with long records\n\
     rimefold station fetch GARDEN ID     the record of one of them\n\
     rimefold station use GARDEN FILE     a record you have: days with date, minimum and maximum";

/// The record that was named, or the one beside the garden's file.
///
/// # Errors
/// There is neither.
pub fn file(named: Option<&PathBuf>, garden_file: &Path) -> Result<PathBuf, Failure> {
    let file = named.cloned().or_else(|| files::station(garden_file));
    file.ok_or_else(|| Failure::new(Exit::Missing, NO_RECORD))
}

/// The record in a file, for a garden.
///
/// # Errors
/// The file cannot be opened, or as [`parse`].
pub fn read(path: &Path, garden: &Garden) -> Result<StationRecord, Failure> {
    parse(path, &files::read_record(path)?, garden)
}

/// The record in the bytes of a file, for a garden.
///
/// # Errors
/// They are no record, or its seasons are those of the other half of the earth.
pub fn parse(path: &Path, bytes: &[u8], garden: &Garden) -> Result<StationRecord, Failure> {
    let record = weather::station::read(bytes)
        .map_err(|e| Failure::new(Exit::Forecast, format!("{}: {e}", path.display())))?;
    match turned(&record, garden) {
        Some(why) => Err(Failure::new(Exit::Unsuitable, format!("{}: {why}", path.display()))),
        None => Ok(record),
    }
}

/// What is wrong where a record's seasons are turned against the garden's latitude.
pub fn turned(record: &StationRecord, garden: &Garden) -> Option<String> {
    let latitude = garden.place.latitude_deg;
    let warmer = record.turned_against(latitude)?;
    let side = |north: bool| if north { "north" } else { "south" };
    let (july, words) = (
        if warmer > 0.0 { "warmer" } else { "colder" },
        GardenFormat::new(garden.units, &garden.zone),
    );
    Some(format!(
        "July is {} {} {july} than January there, as {} of the equator, but the garden lies {} of it: \
         look at the sign of the garden's latitude, or take a record from the right side",
        words.difference(warmer.abs()),
        words.degree(),
        side(warmer > 0.0),
        side(latitude > 0.0)
    ))
}

/// The years that were named, or the last thirty of the record.
pub fn years(record: &StationRecord, named: Option<(i16, i16)>) -> (i16, i16) {
    let last = *record.years().end();
    named.unwrap_or((last.saturating_sub(USUAL_YEARS), last))
}

/// Chance of the late and the early date: one year in ten.
pub const ONE_IN_TEN: f64 = 0.1;

/// Frost dates of the station and, where the cold-spot offset is known, as if the garden were so much colder.
pub struct Frost {
    /// At the station.
    pub station: FrostDates,
    /// The offset, K, and the dates it gives the garden.
    pub garden: Option<(f64, FrostDates)>,
}

impl Frost {
    /// Those of a record, and of the garden by its cold-spot offset.
    pub fn new(record: &StationRecord, garden: &Garden) -> Self {
        let latitude = record.station.latitude_deg.unwrap_or(garden.place.latitude_deg);
        let at = |threshold_c: f64| FrostDates::from_record(record, threshold_c, latitude);
        // The garden is at 0 °C when the station is at 0 °C minus the offset.
        let garden = garden.site.cold_spot_offset_k.map(|k| (k, at(-k)));
        Self { station: at(0.0), garden }
    }
}
