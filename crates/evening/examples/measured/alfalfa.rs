//! Twitchell Island, California, 2014 (AmeriFlux US-Tw3, doi 10.17190/AMF/1246149): long-wave over irrigated alfalfa.

use std::error::Error;
use std::path::Path;

use quantities::{Moment, Place};

use crate::daylight::{Span, clouds};
use crate::longwave;
use crate::record::vapour_kpa;
use crate::table::Row;

/// Clear-night long-wave of the model's sky against the pyrgeometer.
pub fn rows(data: &Path) -> Result<Vec<Row>, Box<dyn Error>> {
    let file = std::fs::File::open(data.join("hourly/US-Tw3_2014.csv.gz"))?;
    let mut table = csv::Reader::from_reader(flate2::read::GzDecoder::new(file));
    let names = table.headers()?.clone();
    let column = |name: &str| names.iter().position(|n| n == name).ok_or("a column is missing");
    let wanted = [column("TA")?, column("RH")?, column("SW_IN")?, column("LW_IN")?];
    let stamp = column("TIMESTAMP_START")?;
    // The file leaves out many half-hours: each goes to its own place in the year.
    let mut halves = vec![[None; 4]; 365 * 48];
    for line in table.records() {
        let line = line?;
        let half = line.get(stamp).and_then(half_of_year).ok_or("a time that is none")?;
        let here = halves.get_mut(half).ok_or("a time outside 2014")?;
        *here = wanted.map(|i| line.get(i)?.parse().ok().filter(|x: &f64| *x > -9000.0));
    }
    // 2014-01-01 00:00 at UTC − 8.
    let span = Span {
        place: Place { latitude_deg: 38.1159, longitude_deg: -121.6467, elevation_m: -9.0 },
        start: Moment(1_388_534_400 + 8 * 3600),
        slot_s: 1800,
    };
    let sunlight: Vec<Option<f64>> = halves.iter().map(|h| h[2]).collect();
    let readings: Vec<Option<longwave::Reading>> =
        halves.iter().map(|h| Some((h[0]?, vapour_kpa(h[0]?, h[1]?), h[3]?))).collect();
    let clear = longwave::clear_nights(&readings, &clouds(&span, &sunlight));
    Ok(longwave::rows("Twitchell Island 2014", &clear))
}

/// Half-hours from the start of 2014 to a time written as 201401312330.
fn half_of_year(stamp: &str) -> Option<usize> {
    const DAYS_BEFORE: [usize; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];
    let number = |range: std::ops::Range<usize>| stamp.get(range)?.parse::<usize>().ok();
    let days = DAYS_BEFORE.get(number(4..6)?.checked_sub(1)?)? + number(6..8)?.checked_sub(1)?;
    Some(48 * days + 2 * number(8..10)? + number(10..12)? / 30)
}
