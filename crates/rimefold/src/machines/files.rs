//! Folders of loggers: new files read once, what cannot be read told once.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use ::diary::digest::sha256;
use ::diary::series::{Series, Taken};
use garden::Garden;
use garden::sensor::{DateOrder, Degrees, Sensor};
use jiff::tz::TimeZone;
use quantities::Moment;
use sensors::dates::Order;
use sensors::logger::{self, Known, LoggerError};
use sensors::{Reading, Unit};

use crate::exit::{Exit, Failure};
use crate::outside::files::{self, Stamp};

/// How the name of a logger's file ends.
const ENDINGS: [&str; 3] = ["csv", "txt", "tsv"];

/// What became of one file.
#[derive(Clone, Debug, PartialEq)]
pub struct TakenFile {
    /// Its path as it was given.
    pub path: PathBuf,
    /// What became of its readings.
    pub taken: Taken,
    /// Rows without a temperature.
    pub empty: usize,
    /// The first and the last moment in it.
    pub span: (Moment, Moment),
}

/// What is known of a sensor's files beside their text.
fn known(garden: &Garden, sensor: &Sensor) -> Known {
    Known {
        zone: TimeZone::get(&garden.zone).unwrap_or(TimeZone::UTC),
        unit: sensor.unit.map(unit),
        order: sensor.dates.map(|d| match d {
            DateOrder::DayFirst => Order::DayFirst,
            DateOrder::MonthFirst => Order::MonthFirst,
        }),
        column: sensor.column.clone(),
    }
}

/// The unit that a word of the garden file stands for.
pub fn unit(of: Degrees) -> Unit {
    match of {
        Degrees::Celsius => Unit::Celsius,
        Degrees::Fahrenheit => Unit::Fahrenheit,
    }
}

/// Takes one file of a sensor's logger.
///
/// # Errors
/// It cannot be read, or something must be asked: what it is stands in the words, with its line.
pub fn take(
    series: &mut Series,
    garden: &Garden,
    sensor: &Sensor,
    path: &Path,
    now: Moment,
) -> Result<TakenFile, Failure> {
    let bytes = files::read_record(path)?;
    let taken = take_bytes(series, garden, sensor, (path, &bytes), now)?;
    taken.map_err(|why| Failure::new(Exit::Diary, format!("{}: {why}", path.display())))
}

/// The same of a file that was read; inside why it is none of a logger, or what must be asked.
fn take_bytes(
    series: &mut Series,
    garden: &Garden,
    sensor: &Sensor,
    (path, bytes): (&Path, &[u8]),
    now: Moment,
) -> Result<Result<TakenFile, LoggerError>, Failure> {
    let read = match logger::read(bytes, &known(garden, sensor)) {
        Ok(read) => read,
        Err(why) => return Ok(Err(why)),
    };
    let taken = series.take(&sensor.name, &read.readings, now)?;
    series.remember_file(&name(path), bytes, None, now)?;
    let at = |r: &Reading| r.at;
    let first = read.readings.iter().map(at).min().unwrap_or(now);
    let last = read.readings.iter().map(at).max().unwrap_or(now);
    Ok(Ok(TakenFile { path: path.to_owned(), taken, empty: read.empty, span: (first, last) }))
}

/// Files as they were when last looked at, so that none is read again unchanged.
#[derive(Debug, Default)]
pub struct Looked {
    sensors: Vec<Sensor>,
    stamps: HashMap<PathBuf, Option<Stamp>>,
}

impl Looked {
    /// Whether a file has changed since, or what the garden file says of its sensor.
    fn is_new(&mut self, path: &Path) -> bool {
        let stamp = files::stamp(path);
        self.stamps.insert(path.to_owned(), stamp) != Some(stamp)
    }
}

/// Takes every new file of every sensor's folder; a file that cannot be read is remembered with why, and tried again once it
/// or what the garden file says of the sensors has changed. The first moment of what was taken; `None` where nothing was.
///
/// # Errors
/// The series cannot be written.
pub fn look(
    series: &mut Series,
    garden: &Garden,
    garden_file: &Path,
    looked: &mut Looked,
    now: Moment,
) -> Result<Option<Moment>, Failure> {
    if looked.sensors != garden.sensors {
        *looked = Looked { sensors: garden.sensors.clone(), stamps: HashMap::new() };
    }
    let mut earliest: Option<Moment> = None;
    for sensor in &garden.sensors {
        let Some(folder) = &sensor.folder else { continue };
        for path in files::with_endings(&garden_file.with_file_name(folder), &ENDINGS) {
            if !looked.is_new(&path) {
                continue;
            }
            let Ok(bytes) = files::read_record(&path) else { continue };
            let before = series.looked_at(&sha256(&bytes))?;
            if before.as_ref().is_some_and(|b| b.fault.is_none()) {
                continue;
            }
            match take_bytes(series, garden, sensor, (&path, &bytes), now)? {
                Ok(taken) => {
                    earliest = Some(earliest.map_or(taken.span.0, |e| e.min(taken.span.0)));
                }
                Err(why) => {
                    let why = why.to_string();
                    if before.is_none_or(|b| b.fault.as_ref() != Some(&why)) {
                        series.remember_file(&name(&path), &bytes, Some(&why), now)?;
                    }
                }
            }
        }
    }
    Ok(earliest)
}

fn name(path: &Path) -> String {
    path.file_name().unwrap_or_default().to_string_lossy().into_owned()
}
