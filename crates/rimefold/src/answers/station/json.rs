//! What a station record is, for programs.

use std::path::Path;

use garden::Garden;
use serde::Serialize;
use weather::StationRecord;
use weather::frost::{self, FrostDates, Method};

use super::{Frost, ONE_IN_TEN};

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

/// The answer of `rimefold station fetch --json` and `rimefold station use --json`.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Record {
    /// Version of the layout.
    layout: u32,
    /// Where the record lies.
    file: String,
    station: Station,
    first_day: String,
    last_day: String,
    days: usize,
    days_without_minimum: usize,
    longest_gap_days: usize,
    notices: Vec<String>,
    frost_at_station: Seasons,
    cold_spot_offset_k: Option<f64>,
    /// Null where the cold-spot offset is not known.
    frost_in_garden_on_clear_calm_nights: Option<Seasons>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Station {
    id: Option<String>,
    name: Option<String>,
    latitude_deg: Option<f64>,
    longitude_deg: Option<f64>,
    elevation_m: Option<f64>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Seasons {
    last_spring: Dates,
    first_autumn: Dates,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Dates {
    years_counted: usize,
    /// Share of the years that freeze at all.
    share_of_years: Option<f64>,
    of_years_that_freeze: Chances,
    of_all_years: Chances,
}

/// Month and day, such as `05-03`.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Chances {
    half: Option<String>,
    one_in_ten: Option<String>,
}

/// The whole answer.
pub fn layout(record: &StationRecord, garden: &Garden, file: &Path) -> Record {
    let frost = Frost::new(record, garden);
    let (s, t) = (&record.station, &record.tally);
    Record {
        layout: LAYOUT,
        file: file.display().to_string(),
        station: Station {
            id: s.id.clone(),
            name: s.name.clone(),
            latitude_deg: s.latitude_deg,
            longitude_deg: s.longitude_deg,
            elevation_m: s.elevation_m,
        },
        first_day: record.first().to_string(),
        last_day: record.last().to_string(),
        days: record.days().count(),
        days_without_minimum: t.without_min,
        longest_gap_days: t.longest_gap,
        notices: record.notices.iter().map(ToString::to_string).collect(),
        frost_at_station: seasons(&frost.station),
        cold_spot_offset_k: frost.garden.as_ref().map(|g| g.0),
        frost_in_garden_on_clear_calm_nights: frost.garden.as_ref().map(|g| seasons(&g.1)),
    }
}

fn seasons(frost: &FrostDates) -> Seasons {
    Seasons {
        last_spring: dates(&frost.last_spring, 1.0 - ONE_IN_TEN),
        first_autumn: dates(&frost.first_autumn, ONE_IN_TEN),
    }
}

/// `extreme` is the chance of the late or the early date among the years that freeze.
fn dates(dates: &frost::Dates, extreme: f64) -> Dates {
    let shown = |d: Option<f64>| {
        d.map(|d| {
            let (month, day) = dates.month_day(d);
            format!("{month:02}-{day:02}")
        })
    };
    let conditional = |p: f64| shown(dates.conditional(p, Method::Empirical));
    let of_all = |p: f64| shown(dates.day_of_chance(p, Method::Empirical));
    Dates {
        years_counted: dates.counted(),
        share_of_years: dates.share(),
        of_years_that_freeze: Chances { half: conditional(0.5), one_in_ten: conditional(extreme) },
        of_all_years: Chances { half: of_all(0.5), one_in_ten: of_all(ONE_IN_TEN) },
    }
}
