//! The low of each night from the series into the diary, once, as if the grower had read it.

use ::diary::Diary;
use ::diary::Id;
use ::diary::entries::JudgedEntry;
use ::diary::entry::{Entry, Extreme, Place, What};
use ::diary::night as diary_night;
use ::diary::series::Series;
use garden::Garden;
use garden::fit::Item;
use garden::lying::{self, Opening};
use garden::sensor::Sensor;
use jiff::ToSpan as _;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use quantities::constants::SUNRISE_ALTITUDE_DEG;
use quantities::{Moment, sun};
use sensors::constants::STUCK_S;
use sensors::night::{self, NoLow};

use crate::diary::lying::noted;
use crate::digest::sha256;
use crate::exit::Failure;

/// Digits of a name.
const ID_DIGITS: usize = 32;
/// A low noted before this local hour would not count for its night.
const EARLIEST_HOUR: i8 = 4;

/// What a night came to.
#[derive(Clone, Debug, PartialEq)]
pub enum Came {
    /// Noted.
    Noted(Entry),
    /// So far from what was expected that it is not noted.
    Unlikely {
        /// What would have been noted.
        entry: Entry,
        /// The nearest that was expected, °C.
        expected_c: f64,
    },
    /// The sensor gave one and the same number all night.
    Stuck,
    /// Nobody said what lay on its bed.
    Unsaid,
}

/// A full hour of a date.
fn at_hour(date: Date, hour: i8, zone: &TimeZone) -> Option<Moment> {
    let local = zone.to_ambiguous_zoned_datetime(date.at(hour, 0, 0, 0)).compatible().ok()?;
    Some(Moment(local.timestamp().as_second()))
}

/// Sunset and sunrise of the night that begins on the evening of a date.
fn night_of(garden: &Garden, date: Date, zone: &TimeZone) -> Option<(Moment, Moment)> {
    let noon = at_hour(date, 12, zone)?;
    let sunset = sun::next_crossing(&garden.place, noon, SUNRISE_ALTITUDE_DEG, true)?;
    let sunrise = sun::next_crossing(&garden.place, sunset, SUNRISE_ALTITUDE_DEG, false)?;
    Some((sunset, sunrise))
}

/// Notes the lows of the nights from `from` on that are over, whole and not in the diary; each night of a sensor once, also
/// where the grower took it back.
///
/// # Errors
/// Diary or series cannot be read or written.
pub fn note(
    diary: &mut Diary,
    series: &Series,
    garden: &Garden,
    from: Moment,
    now: Moment,
) -> Result<Vec<(String, Date, Came)>, Failure> {
    let zone = TimeZone::get(&garden.zone).unwrap_or(TimeZone::UTC);
    let local = |m: Moment| diary_night::local(m, &zone).date();
    let mut entries = diary.entries()?;
    let mut out = Vec::new();
    let (mut date, last) = (local(from).saturating_sub(1.day()), local(now));
    while date <= last {
        let sky = night_of(garden, date, &zone).filter(|n| night::over(n.1) <= now);
        for sensor in garden.sensors.iter().filter(|_| sky.is_some()) {
            let (sunset, sunrise) = sky.unwrap_or((now, now));
            let id = id(&sensor.name, date);
            if entries.iter().any(|e| e.entry.id == id) {
                continue;
            }
            let begin = Moment(sunset.0.min(night::over(sunrise).0 - STUCK_S) - 3600);
            let slots = series.slots(&sensor.name, begin, night::over(sunrise))?;
            let low = match night::low(&slots, sunset, sunrise) {
                Ok(low) => low,
                Err(NoLow::Gaps) => continue,
                Err(NoLow::Stuck) => {
                    out.push((sensor.name.clone(), date, Came::Stuck));
                    continue;
                }
            };
            let tomorrow = date.tomorrow().ok();
            let morning = tomorrow.and_then(|d| at_hour(d, EARLIEST_HOUR, &zone));
            let at = night::over(sunrise).max(morning.unwrap_or(sunrise));
            if at > now {
                continue;
            }
            let Some(place) = place(&entries, garden, sensor, low.at) else {
                out.push((sensor.name.clone(), date, Came::Unsaid));
                continue;
            };
            let entry = Entry {
                id,
                at,
                written: now,
                what: What::Reading {
                    extreme: Extreme::Minimum,
                    celsius: (low.celsius * 100.0).round() / 100.0,
                    place,
                },
                note: Some(format!("automatic: {}", sensor.name)),
            };
            out.push((sensor.name.clone(), date, came(diary, &mut entries, entry)?));
        }
        date = date.saturating_add(1.day());
    }
    Ok(out)
}

/// Writes it down, unless nothing near it is like it.
fn came(diary: &mut Diary, entries: &mut Vec<JudgedEntry>, entry: Entry) -> Result<Came, Failure> {
    if let Some(expected_c) = diary.far_off(&entry, entries)? {
        return Ok(Came::Unlikely { entry, expected_c });
    }
    diary.add_once(&entry)?;
    entries.push(JudgedEntry { entry: entry.clone(), stands: true });
    Ok(Came::Noted(entry))
}

/// A name that a night of a sensor has whoever makes it.
fn id(sensor: &str, date: Date) -> Id {
    let digest = sha256(format!("{}\n{date}", sensor.to_lowercase()).as_bytes());
    let digits = digest.get(..ID_DIGITS).unwrap_or_default().to_owned();
    Id::try_from(digits).unwrap_or_else(|_| Id::from_random([0; 16]))
}

/// Where a sensor hung at a moment: in the open, or under what lay on its bed; `None` where nobody said what lay there.
fn place(entries: &[JudgedEntry], garden: &Garden, sensor: &Sensor, at: Moment) -> Option<Place> {
    let Some(bed) = &sensor.bed else { return Some(Place::Open { bed: None }) };
    let number = garden.beds.iter().position(|b| b.name == *bed)?;
    let noted = noted(entries, at);
    let told = noted.iter().any(|n| n.bed.eq_ignore_ascii_case(bed));
    let state = lying::derive(garden, &noted, at);
    let mut over = state.beds.get(number)?.iter().filter(|l| l.opening != Opening::HalfOff);
    match over.next_back() {
        None => told.then(|| Place::Open { bed: Some(bed.clone()) }),
        Some(lies) => {
            let sheet = match lies.item() {
                Some(Item::Sheet(i)) => garden.stock.sheets.get(i).map(|s| s.name.clone()),
                Some(Item::PopUp(i)) => garden.stock.pop_ups.get(i).map(|p| p.name.clone()),
                _ => None,
            };
            Some(Place::Under { bed: bed.clone(), sheet })
        }
    }
}
