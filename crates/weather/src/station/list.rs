//! Lists of stations (fixed width) and the nearest of them, height counted.
//!
//! Columns: 1–11 identifier, 13–20 latitude, 22–30 longitude, 32–37 elevation (−999.9 unknown), 39–40 state,
//! 42–71 name. Checked against a real list by `stations::the_list_reads_whole`.

use quantities::Place;

use super::cells::{digits, lines, shown, wrong};
use super::record::Station;
use crate::constants::KM_PER_100_M;
use crate::error::ReadError;

/// Reads a list of stations.
///
/// # Errors
/// [`ReadError`] with the line and the columns.
pub fn read(bytes: &[u8]) -> Result<Vec<Station>, ReadError> {
    let mut out = Vec::new();
    for (line, text) in lines(bytes).filter(|(_, l)| !l.trim_ascii().is_empty()) {
        let cell = |from: usize, to: usize| {
            let end = to.min(text.len());
            text.get(from - 1..end).unwrap_or_default().trim_ascii()
        };
        let number = |from: usize, to: usize, what: &str, most: f64| {
            std::str::from_utf8(cell(from, to))
                .ok()
                .and_then(|t| t.parse::<f64>().ok())
                .filter(|x| x.abs() <= most)
                .ok_or_else(|| {
                    let expected =
                        format!("a number within ±{most}; a list of stations has fixed columns");
                    wrong(line, &format!("{from}-{to} ({what})"), shown(cell(from, to)), &expected)
                })
        };
        let id = cell(1, 11);
        if id.len() != 11 || !id.iter().all(u8::is_ascii_alphanumeric) {
            return Err(wrong(
                line,
                "1-11 (station)",
                shown(id),
                "an identifier of 11 letters and digits",
            ));
        }
        out.push(Station {
            id: Some(String::from_utf8_lossy(id).into_owned()),
            name: Some(String::from_utf8_lossy(cell(42, 71)).into_owned()),
            latitude_deg: Some(number(13, 20, "latitude", 90.0)?),
            longitude_deg: Some(number(22, 30, "longitude", 180.0)?),
            elevation_m: Some(number(32, 37, "elevation", 9_999.0)?).filter(|m| *m > -999.0),
            years: None,
        });
    }
    if out.is_empty() { Err(ReadError::EmptyRecord) } else { Ok(out) }
}

/// Adds the years of daily minima from an inventory: columns 1–11 identifier, 32–35 element, 37–40 first year,
/// 42–45 last year (the network's own description of its files, from memory).
///
/// # Errors
/// [`ReadError`] with the line and the columns.
pub fn add_years(stations: &mut [Station], inventory: &[u8]) -> Result<(), ReadError> {
    let at: std::collections::HashMap<String, usize> =
        stations.iter().enumerate().filter_map(|(i, s)| Some((s.id.clone()?, i))).collect();
    for (line, text) in lines(inventory).filter(|(_, l)| !l.trim_ascii().is_empty()) {
        let cell = |from: usize, to: usize| text.get(from - 1..to).unwrap_or_default();
        if cell(32, 35) != b"TMIN" {
            continue;
        }
        let year = |from: usize, to: usize| {
            digits(cell(from, to)).and_then(|y| i16::try_from(y).ok()).ok_or_else(|| {
                let column = format!("{from}-{to} (year)");
                wrong(line, &column, shown(cell(from, to)), "a year of four digits")
            })
        };
        let years = (year(37, 40)?, year(42, 45)?);
        let id = std::str::from_utf8(cell(1, 11)).unwrap_or_default();
        if let Some(station) = at.get(id).and_then(|i| stations.get_mut(*i)) {
            station.years = Some(years);
        }
    }
    Ok(())
}

/// A station near a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Near<'a> {
    /// The station.
    pub station: &'a Station,
    /// Over the ground, km.
    pub distance_km: f64,
    /// How much higher the station stands, m.
    pub higher_m: f64,
    /// Distance with height: km + [`KM_PER_100_M`] · |difference in height| / 100 m.
    pub weighed_km: f64,
}

/// The `count` nearest stations whose place is known, nearest first, by distance with height.
///
/// Stations that an inventory says have fewer than `least_years` years of minima are left out; those without an
/// inventory stay. Checked by `stations::height_counts_when_the_nearest_is_sought`.
/// Equation 40 of docs/science.md.
#[must_use]
pub fn nearest<'a>(
    list: &'a [Station],
    place: &Place,
    count: usize,
    least_years: i16,
) -> Vec<Near<'a>> {
    let mut near: Vec<Near<'a>> = list
        .iter()
        .filter(|s| {
            s.years.is_none_or(|(first, last)| last.saturating_sub(first) + 1 >= least_years)
        })
        .filter_map(|station| {
            let at = station.place()?;
            let distance_km = place.distance_km(&at);
            let higher_m = at.elevation_m - place.elevation_m;
            let weighed_km = distance_km + KM_PER_100_M * higher_m.abs() / 100.0;
            Some(Near { station, distance_km, higher_m, weighed_km })
        })
        .collect();
    let by = |a: &Near<'_>, b: &Near<'_>| a.weighed_km.total_cmp(&b.weighed_km);
    if count < near.len() {
        near.select_nth_unstable_by(count, by);
        near.truncate(count);
    }
    near.sort_by(by);
    near
}
