//! The sensors, for programs.

use ::diary::utc;
use sensors::health::Trouble;
use serde::Serialize;

use crate::machines::state::State;

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

/// Every sensor.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Sensors {
    /// Version of the layout.
    layout: u32,
    sensors: Vec<Sensor>,
    files_not_read: Vec<File>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Sensor {
    name: String,
    bed: Option<String>,
    last: Option<Reading>,
    trouble: Option<&'static str>,
    trouble_since: Option<String>,
    not_believed: u32,
    nights: usize,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Reading {
    at: String,
    celsius: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct File {
    name: String,
    at: String,
    why: String,
}

/// The document of a state.
pub fn layout(state: &State) -> Sensors {
    let since = |t: &Trouble| match t {
        Trouble::Silent { since } => ("silent", utc::format(*since)),
        Trouble::Stuck { since, .. } => ("stuck", utc::format(*since)),
    };
    let sensors = state.sensors.iter().map(|s| {
        let trouble = s.trouble.as_ref().map(since);
        Sensor {
            name: s.name.clone(),
            bed: s.bed.clone(),
            last: s.last.map(|r| Reading { at: utc::format(r.at), celsius: r.celsius }),
            trouble: trouble.as_ref().map(|t| t.0),
            trouble_since: trouble.map(|t| t.1),
            not_believed: s.refused.as_ref().map_or(0, |r| r.1),
            nights: s.nights,
        }
    });
    let files = state.faults.iter().map(|f| File {
        name: f.name.clone(),
        at: utc::format(f.at),
        why: f.fault.clone().unwrap_or_default(),
    });
    Sensors { layout: LAYOUT, sensors: sensors.collect(), files_not_read: files.collect() }
}
