//! Each sensor: what it last gave, what is wrong with it.

use ::diary::entries::JudgedEntry;
use ::diary::series::{LookedAt, Series};
use garden::Garden;
use quantities::Moment;
use sensors::Reading;
use sensors::constants::{COARSE_S, STUCK_S};
use sensors::health::{Trouble, trouble};

use crate::exit::Failure;
use crate::format::{GardenFormat, count};

/// Readings that were not believed are told for so long, s.
const TOLD_S: i64 = 86_400;

/// One sensor.
#[derive(Clone, Debug, PartialEq)]
pub struct SensorState {
    /// Its name.
    pub name: String,
    /// Its bed; `None` in the open air.
    pub bed: Option<String>,
    /// Its last believed reading; `None` where nothing came yet.
    pub last: Option<Reading>,
    /// What is wrong.
    pub trouble: Option<Trouble>,
    /// The last reading that was not believed, and how many in all.
    pub refused: Option<(Reading, u32)>,
    /// Nights of which its low stands in the diary.
    pub nights: usize,
}

/// Every sensor of a garden, and the files that could not be read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct State {
    /// In file order.
    pub sensors: Vec<SensorState>,
    /// Newest first.
    pub faults: Vec<LookedAt>,
}

/// The state at a moment; `series` is `None` where nothing came yet.
///
/// # Errors
/// The series cannot be read.
pub fn state(
    garden: &Garden,
    series: Option<&Series>,
    entries: &[JudgedEntry],
    now: Moment,
) -> Result<State, Failure> {
    let mut out = State::default();
    for sensor in &garden.sensors {
        let seen = series.map(|s| s.seen_of(&sensor.name)).transpose()?.flatten();
        let from = Moment(now.0 - STUCK_S - 2 * COARSE_S);
        // A sensor that fell silent long ago is judged by its last rows.
        let last = seen.as_ref().and_then(|s| s.guard.last);
        let from = last.map_or(from, |l| from.min(Moment(l.at.0 - COARSE_S)));
        let slots = series.map(|s| s.slots(&sensor.name, from, now.plus_seconds(COARSE_S)));
        let slots = slots.transpose()?.unwrap_or_default();
        let automatic = format!("automatic: {}", sensor.name);
        let of_it = |e: &&JudgedEntry| e.stands && e.entry.note.as_ref() == Some(&automatic);
        out.sensors.push(SensorState {
            name: sensor.name.clone(),
            bed: sensor.bed.clone(),
            last,
            trouble: trouble(&slots, now),
            refused: seen.as_ref().and_then(|s| Some((s.refused?, s.refused_count))),
            nights: entries.iter().filter(of_it).count(),
        });
    }
    out.faults = series.map(Series::faults).transpose()?.unwrap_or_default();
    Ok(out)
}

/// What is wrong with the sensors of a garden, a sentence each.
pub fn troubles(series: &Series, garden: &Garden, now: Moment) -> Vec<String> {
    if garden.sensors.is_empty() {
        return Vec::new();
    }
    let words = GardenFormat::new(garden.units, &garden.zone);
    let state = state(garden, Some(series), &[], now).unwrap_or_default();
    let each = state.sensors.iter().filter_map(|s| s.told(&words, now));
    let fault = |f: &LookedAt| {
        f.fault.as_ref().map(|why| format!("the logger’s file {} was not read: {why}", f.name))
    };
    each.chain(state.faults.iter().find_map(fault)).collect()
}

impl SensorState {
    /// What is wrong, in a sentence; `None` where nothing is.
    pub fn told(&self, words: &GardenFormat, now: Moment) -> Option<String> {
        let name = &self.name;
        let when = |at: Moment| format!("{} {}", words.date(at), words.time(at));
        match self.trouble {
            Some(Trouble::Silent { since }) => Some(format!(
                "{name} is silent since {}: look at its battery and its place",
                when(since)
            )),
            Some(Trouble::Stuck { since, celsius }) => Some(format!(
                "{name} gives {} and nothing else since {}: it is stuck and is not believed",
                words.temperature(celsius),
                when(since)
            )),
            None => {
                let recent = |r: &&(Reading, u32)| now.0 - r.0.at.0 < TOLD_S;
                let (reading, n) = self.refused.as_ref().filter(recent)?;
                Some(format!(
                    "{name} gave {} on {}, which is not believed ({} in all)",
                    words.temperature(reading.celsius),
                    when(reading.at),
                    count(*n as usize, "reading")
                ))
            }
        }
    }
}
