//! Twitchell Island, California (AmeriFlux US-Tw3, doi 10.17190/AMF/1246149): irrigated alfalfa, half-hours of three years.
//!
//! The surface comes from the long-wave that goes up. It reads low: where the sensible heat flux of a windy half-hour passes
//! zero, the surface ought to be as warm as the air. What it is below it there, by a line through the half-hours with less
//! than 25 W/m², is the reading's own and taken off, year by year; the model has no part in it.

use std::collections::HashMap;
use std::error::Error;
use std::path::Path;

use microclimate::bed::{Bed, Canopy, Ground};
use microclimate::lanes::Lanes;
use microclimate::real::Real as _;
use quantities::moist_air::pressure_kpa;
use quantities::{Moment, Place};

use crate::daylight::{Span, clouds};
use crate::longwave;
use crate::record::{Slot, bridged, surface_c, vapour_kpa};
use crate::rivals;
use crate::spread::{Nights, SiteTables};
use crate::table::Row;
use crate::tower::{DAY, Tower};

const YEARS: [(&str, i64); 3] =
    [("2013", 1_356_998_400), ("2014", 1_388_534_400), ("2015", 1_420_070_400)];
const NAMES: [&str; 3] = ["Twitchell 2013", "Twitchell 2014", "Twitchell 2015"];
const PLACE: Place = Place { latitude_deg: 38.1159, longitude_deg: -121.6467, elevation_m: -9.0 };
/// Of leaves in a dense canopy (Prata 1994 and others: .98).
const EMISSIVITY: f64 = 0.98;
/// Depths of the soil thermometers, m (from memory).
const SOIL_M: [f64; 5] = [0.02, 0.04, 0.08, 0.16, 0.32];

/// The columns of one half-hour, gaps `None`.
#[derive(Clone, Copy, Default)]
struct Half {
    air_c: Option<f64>,
    humidity: Option<f64>,
    wind_m_s: Option<f64>,
    sun_w_m2: Option<f64>,
    sky_w_m2: Option<f64>,
    up_w_m2: Option<f64>,
    sensible_w_m2: Option<f64>,
    ground_w_m2: Option<f64>,
    moisture: Option<f64>,
    soil_c: [Option<f64>; 5],
}

/// Nights with members by the name of their year.
type NamedNights = Vec<(&'static str, Nights)>;

/// Rows of sky and ground heat, the nights' rows beside their rivals, and the nights of each year with members.
pub fn rows(data: &Path) -> Result<SiteTables<NamedNights>, Box<dyn Error>> {
    let (mut rows, mut nights, mut bands) = (Vec::new(), Vec::new(), Vec::new());
    for (group, (year, start)) in YEARS.into_iter().enumerate() {
        let halves = read(data, year)?;
        if year == "2014" {
            rows.extend(sky(&halves, start));
        }
        let (tower, low) = tower(&halves).ok_or("a column is empty")?;
        let said = tower.run()?;
        // The file begins with months of nothing in 2013: what was never measured makes no night.
        nights.extend(tower.nights(&|i| said[i].skin_c, 15, |_| group));
        bands.push((NAMES[group], tower.spread(Lanes::splat(tower.saturation), 15)?));
        let ground: Vec<Option<f64>> = halves.iter().map(|h| h.ground_w_m2).collect();
        let (surface, heat) = tower.clear_calm(&said, &ground);
        let site = NAMES[group];
        rows.push(
            surface.row(site, format!("clear calm surface, {low:+.2} K taken off the reading")),
        );
        rows.push(heat.row(site, "the same, heat into the ground, W/m²"));
    }
    let names: Vec<&str> = YEARS.iter().map(|y| y.0).collect();
    Ok((rows, rivals::rows("Twitchell, alfalfa", &names, &nights), bands))
}

fn read(data: &Path, year: &str) -> Result<Vec<Half>, Box<dyn Error>> {
    let file = std::fs::File::open(data.join(format!("hourly/US-Tw3_{year}.csv.gz")))?;
    let mut table = csv::Reader::from_reader(flate2::read::GzDecoder::new(file));
    let names = table.headers()?.clone();
    let column: HashMap<&str, usize> = names.iter().enumerate().map(|(i, n)| (n, i)).collect();
    let stamp = *column.get("TIMESTAMP_START").ok_or("a column is missing")?;
    // The file leaves out many half-hours: each goes to its own place in the year.
    let mut halves = vec![Half::default(); 365 * DAY];
    for line in table.records() {
        let line = line?;
        let half = line.get(stamp).and_then(half_of_year).ok_or("a time that is none")?;
        let here = halves.get_mut(half).ok_or("a time outside the year")?;
        let get =
            |name: &str| line.get(*column.get(name)?)?.parse().ok().filter(|x: &f64| *x > -9000.0);
        *here = Half {
            air_c: get("TA"),
            humidity: get("RH"),
            wind_m_s: get("WS"),
            sun_w_m2: get("SW_IN"),
            sky_w_m2: get("LW_IN"),
            up_w_m2: get("LW_OUT"),
            sensible_w_m2: get("H"),
            ground_w_m2: get("G"),
            moisture: get("SWC_1_2_1"),
            soil_c: ["TS_1_1_1", "TS_1_2_1", "TS_1_3_1", "TS_1_4_1", "TS_1_5_1"].map(get),
        };
    }
    Ok(halves)
}

/// Half-hours from the start of a year of 365 days to a time written as 201401312330.
fn half_of_year(stamp: &str) -> Option<usize> {
    const DAYS_BEFORE: [usize; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];
    let number = |range: std::ops::Range<usize>| stamp.get(range)?.parse::<usize>().ok();
    let days = DAYS_BEFORE.get(number(4..6)?.checked_sub(1)?)? + number(6..8)?.checked_sub(1)?;
    Some(DAY * days + 2 * number(8..10)? + number(10..12)? / 30)
}

/// Clear-night long-wave of the model's sky against the pyrgeometer.
fn sky(halves: &[Half], start: i64) -> Vec<Row> {
    // Midnight at UTC − 8.
    let span = Span { place: PLACE, start: Moment(start + 8 * 3600), slot_s: 1800 };
    let sunlight: Vec<Option<f64>> = halves.iter().map(|h| h.sun_w_m2).collect();
    let reading = |h: &Half| Some((h.air_c?, vapour_kpa(h.air_c?, h.humidity?), h.sky_w_m2?));
    let readings: Vec<Option<longwave::Reading>> = halves.iter().map(reading).collect();
    let clear = longwave::clear_nights(&readings, &clouds(&span, &sunlight));
    longwave::rows("Twitchell Island 2014", &clear)
}

/// Alfalfa 40 cm high that hides nine tenths of the ground (60 to 70 cm before each cut, says the site's page), on mineral
/// soil as wet as the deeper probe has it in the mean; and what the surface reads too low, K.
fn tower(halves: &[Half]) -> Option<(Tower, f64)> {
    let mean = |get: &dyn Fn(&Half) -> Option<f64>| {
        let known: Vec<f64> = halves.iter().filter_map(get).collect();
        (!known.is_empty()).then(|| known.iter().sum::<f64>() / known.len() as f64)
    };
    let porosity = 0.50;
    let saturation = (mean(&|h| h.moisture)? / 100.0 / porosity).clamp(0.1, 0.95);
    let line =
        |get: &dyn Fn(&Half) -> Option<f64>| bridged(&halves.iter().map(get).collect::<Vec<_>>());
    let (air, humidity, wind) =
        (line(&|h| h.air_c)?, line(&|h| h.humidity)?, line(&|h| h.wind_m_s)?);
    let (sun, sky) = (line(&|h| h.sun_w_m2)?, line(&|h| h.sky_w_m2)?);
    let slots: Vec<Slot> = (0..halves.len())
        .map(|i| Slot {
            air_c: air[i],
            vapour_kpa: vapour_kpa(air[i], humidity[i]),
            wind_m_s: wind[i],
            sun_w_m2: sun[i].max(0.0),
            sky_w_m2: sky[i],
        })
        .collect();
    let whole = |h: &Half| {
        let weather = [h.air_c?, h.humidity?, h.wind_m_s?, h.sun_w_m2?];
        weather.iter().all(|x| x.is_finite()).then_some(surface_c(
            h.up_w_m2?,
            h.sky_w_m2?,
            EMISSIVITY,
        ))
    };
    let low = reads_low_k(halves, &whole)?;
    let surface_c = halves.iter().map(|h| Some(whole(h)? - low)).collect();
    let first = |i: usize| halves.iter().find_map(|h| h.soil_c[i]);
    let soil_c = SOIL_M.iter().enumerate().filter_map(|(i, d)| Some((*d, first(i)?))).collect();
    let bed = Bed {
        ground: Ground {
            porosity,
            quartz: 0.3,
            bulk_density_kg_m3: 1250.0,
            organic: 0.05,
            coarse: false,
            litter: None,
            emissivity: 0.96,
            albedo: 0.17,
            evaporates: true,
        },
        canopy: Canopy { height_m: 0.4, ground_cover: 0.9, leaf_m: 0.02, alive: true },
        wind_height_m: 3.0,
        pressure_kpa: pressure_kpa(PLACE.elevation_m),
    };
    Some((Tower { slots, surface_c, soil_c, bed, saturation }, low))
}

/// Surface less air at no sensible heat, by a line through windy half-hours of little of it, K.
fn reads_low_k(halves: &[Half], surface_c: &dyn Fn(&Half) -> Option<f64>) -> Option<f64> {
    let pairs: Vec<(f64, f64)> = halves
        .iter()
        .filter(|h| h.wind_m_s.is_some_and(|u| u > 3.0))
        .filter_map(|h| Some((h.sensible_w_m2?, surface_c(h)? - h.air_c?)))
        .filter(|(flux, _)| flux.abs() < 25.0)
        .collect();
    let n = pairs.len() as f64;
    let mean_x = pairs.iter().map(|p| p.0).sum::<f64>() / n;
    let mean_y = pairs.iter().map(|p| p.1).sum::<f64>() / n;
    let slope = pairs.iter().map(|p| (p.0 - mean_x) * (p.1 - mean_y)).sum::<f64>()
        / pairs.iter().map(|p| (p.0 - mean_x).powi(2)).sum::<f64>();
    Some(mean_y - slope * mean_x).filter(|k| k.is_finite())
}
