//! De Bilt, Netherlands, January to June 2000 (KNMI 260): hourly weather, and the minimum 10 cm over short grass every six
//! hours, by a thermometer that is partly shielded (from memory). Held against the leaf: what a grower asks for.

use std::error::Error;
use std::io::Read as _;
use std::path::Path;

use microclimate::bed::{Bed, Canopy, Ground};
use microclimate::lanes::Lanes;
use microclimate::parameters::STEP_S;
use microclimate::real::Real as _;
use microclimate::saturation::saturation_vapour_pressure_kpa;
use microclimate::{Draws, column, sky};

use crate::record::{Slot, bridged, follow, profile};
use crate::rivals::{self, Night};
use crate::spread::{Nights, SiteTables, spread};
use crate::table::Pairs;

/// Share of the pores of the soil that hold water, from memory of a wet spring.
const SATURATION: f64 = 0.75;
/// Days before the first night that counts.
const SPIN_UP_DAYS: usize = 10;
/// Hours behind a reading of the minimum.
const WINDOW_H: usize = 6;
/// Steps of an hour.
const STEPS: usize = (3600.0 / STEP_S) as usize;
/// Last hour of March, from the start of the leap year 2000.
const END_OF_MARCH_H: usize = 24 * 91;

/// One hour; instants at its end but wind and sun, which are its means.
struct Hour {
    of_day: usize,
    air_c: Option<f64>,
    dew_c: Option<f64>,
    wind_m_s: Option<f64>,
    sun_w_m2: Option<f64>,
    cloud: Option<f64>,
    grass_c: Option<f64>,
}

/// Rows of air and leaf on clear calm nights, the nights' rows, and those of winter and of spring with members.
pub fn rows(data: &Path) -> Result<SiteTables<[Nights; 2]>, Box<dyn Error>> {
    let hours = read(data)?;
    let line = |get: &dyn Fn(&Hour) -> Option<f64>| {
        bridged(&hours.iter().map(get).collect::<Vec<_>>()).ok_or("a column is empty")
    };
    let (air, dew) = (line(&|h| h.air_c)?, line(&|h| h.dew_c)?);
    let (wind, sun, cloud) = (line(&|h| h.wind_m_s)?, line(&|h| h.sun_w_m2)?, line(&|h| h.cloud)?);
    // Value at a time in hours of what stands at the ends of hours, or at their middles.
    let at = |line: &[f64], hour: f64| {
        let before = (hour.max(0.0) as usize).min(line.len() - 1);
        let next = (before + 1).min(line.len() - 1);
        line[before] + (line[next] - line[before]) * (hour.max(0.0) - before as f64).clamp(0.0, 1.0)
    };
    let slots: Vec<Slot> = (0..hours.len() * STEPS)
        .map(|k| {
            let hour = (k as f64 + 0.5) / STEPS as f64;
            let (t, e) =
                (at(&air, hour - 1.0), saturation_vapour_pressure_kpa(at(&dew, hour - 1.0)));
            Slot {
                air_c: t,
                vapour_kpa: e,
                wind_m_s: at(&wind, hour - 0.5),
                sun_w_m2: at(&sun, hour - 0.5).max(0.0),
                sky_w_m2: sky::longwave_w_m2(t, e, at(&cloud, hour - 1.0), 0.0),
            }
        })
        .collect();
    let bed = bed();
    let soil = profile(&column::depths_m(&bed), &[(0.0, 4.0), (1.0, 7.0)]);
    let said = follow(&bed, &Draws::central(SATURATION), &slots, STEP_S, soil)?;
    // Every reading at the end of a night's six hours; `leaf_c` says a step.
    let nights = |leaf_c: &dyn Fn(usize) -> f64| -> Vec<Night> {
        let mut out = Vec::new();
        for (i, hour) in hours.iter().enumerate().skip(24 * SPIN_UP_DAYS) {
            let night_ends = hour.of_day == 6 || hour.of_day == 24;
            let Some(grass) = hour.grass_c.filter(|_| night_ends) else { continue };
            let window = i + 1 - WINDOW_H..i + 1;
            let mean = |line: &[f64]| line[window.clone()].iter().sum::<f64>() / WINDOW_H as f64;
            let least = air[window.clone()].iter().copied().fold(f64::MAX, f64::min);
            let high = air[i.saturating_sub(17)..=i].iter().copied().fold(least, f64::max);
            let (wind, cloud) = (mean(&wind), mean(&cloud));
            out.push(Night {
                group: usize::from(i >= END_OF_MARCH_H),
                measured: grass,
                said: (window.start * STEPS..window.end * STEPS)
                    .map(leaf_c)
                    .fold(f64::MAX, f64::min),
                terms: [least, high - least, least - mean(&dew), wind, cloud],
                clear_calm: cloud < 0.3 && wind < 2.5,
            });
        }
        out
    };
    let leaves = nights(&|k| said[k].leaf_c);
    let (mut leaf, mut above, mut air_2_m) = (Pairs::default(), Pairs::default(), Pairs::default());
    for (night, among) in leaves.iter().zip(nights(&|k| said[k].air_c)) {
        if night.clear_calm {
            leaf.add(night.said, night.measured);
            above.add(among.said, night.measured);
            air_2_m.add(night.terms[0], night.measured);
        }
    }
    let members = spread(
        |draws| follow(&bed, draws, &slots, STEP_S, soil),
        Lanes::splat(SATURATION),
        |said| said.leaf_c,
        &nights,
    )?;
    let winter = leaves.iter().filter(|n| n.group == 0).count();
    let site = "De Bilt, January–June 2000";
    Ok((
        vec![
            leaf.row(site, "clear calm, leaf against 10 cm").against(&air_2_m),
            above.row(site, "clear calm, air among the grass against 10 cm").against(&air_2_m),
        ],
        rivals::rows("De Bilt, grass", &["January–March 2000", "April–June 2000"], &leaves),
        [members.between(0..winter), members.between(winter..usize::MAX)],
    ))
}

fn read(data: &Path) -> Result<Vec<Hour>, Box<dyn Error>> {
    let mut text = String::new();
    let file = std::fs::File::open(data.join("hourly/KNMI_260_DeBilt_2000_jan_jun.txt.gz"))?;
    flate2::read::GzDecoder::new(file).read_to_string(&mut text)?;
    let hour = |line: &str| {
        let fields: Vec<&str> = line.split(',').map(str::trim).collect();
        let get = |i: usize| fields.get(i)?.parse::<f64>().ok();
        Some(Hour {
            of_day: get(2)? as usize,
            air_c: get(7).map(|x| x / 10.0),
            dew_c: get(9).map(|x| x / 10.0),
            wind_m_s: get(4).map(|x| x / 10.0),
            // J/cm² an hour.
            sun_w_m2: get(11).map(|x| x / 0.36),
            // Nine eighths: the sky is not seen.
            cloud: get(16).map(|x| (x / 8.0).min(1.0)),
            grass_c: get(8).map(|x| x / 10.0),
        })
    };
    Ok(text.lines().filter(|l| l.trim_start().starts_with("260,")).filter_map(hour).collect())
}

/// Short grass over sandy loam.
fn bed() -> Bed {
    Bed {
        ground: Ground {
            porosity: 0.46,
            quartz: 0.6,
            bulk_density_kg_m3: 1400.0,
            organic: 0.04,
            coarse: false,
            litter: None,
            emissivity: 0.97,
            albedo: 0.23,
            evaporates: true,
        },
        canopy: Canopy { height_m: 0.08, ground_cover: 0.95, leaf_m: 0.005, alive: true },
        wind_height_m: 10.0,
        pressure_kpa: 101.5,
    }
}
