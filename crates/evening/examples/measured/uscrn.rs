//! Dinosaur, Colorado, 2018–19 (USCRN): hourly air and infrared surface temperature, no wind and no long-wave.
//!
//! Wind, cloud by night and the model's unknowns are drawn from the ensemble's own priors, so that the spread
//! of the members is put to the test together with their middle. The infrared thermometer takes the ground for black (from
//! memory: the network stores what it reads), so the model is asked what such a thermometer would read.

use std::error::Error;
use std::ops::Range;
use std::path::Path;

use evening::priors::{self, UNKNOWNS};
use microclimate::bed::{Bed, Canopy, Ground, Litter};
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::parameters::{LEAF_EMISSIVITY, STEP_S};
use microclimate::real::Real;
use microclimate::soil::CELLS;
use microclimate::{Forcing, Site, State, column, sky, step};
use quantities::moist_air::{dew_point_c, pressure_kpa};
use quantities::{Moment, Place};
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;
use rayon::prelude::*;
use weather::constants::{MEMORY_H, SIGMA_CLOUD};

use crate::daylight::{Cloud, Span, clouds};
use crate::record::{brightness_c, vapour_kpa};
use crate::rivals;
use crate::spread::Nights;
use crate::table::{Pairs, Row};

/// Name, days since the start of 2018, and whether the target is meant.
const SEASONS: [(&str, Range<usize>, bool); 5] = [
    ("Dinosaur 2018", 0..365, false),
    ("Dinosaur 2019", 365..731, true),
    ("Dinosaur, April–October 2018", 90..304, false),
    ("Dinosaur, April–October 2019", 455..669, false),
    ("Dinosaur, November 2018–March 2019", 304..455, false),
];
const FILES: [&str; 2] = ["CRNH0203-2018-CO_Dinosaur_2_E.txt", "CRNH0203-2019-CO_Dinosaur_2_E.txt"];
const PLACE: Place = Place { latitude_deg: 40.24, longitude_deg: -108.97, elevation_m: 1850.0 };
/// Hour of the day, UTC, of local noon.
const NOON_UTC: usize = 19;
/// Blocks of sixteen members.
const BLOCKS: u64 = 8;
/// Hours that share one soil wetness and one layer on top.
const DAY_H: usize = 24;
/// Days whose measured moisture is averaged: it is missing while the soil is frozen.
const MOISTURE_DAYS: usize = 30;

/// The loose dry top of the soil above the moisture probe: Oke's dry sand and clay, 2 to 4 cm.
const DRY_TOP: Litter = Litter { depth_m: 0.03, conductivity: 0.25, capacity_j_m3_k: 1.25e6 };
/// Snow once it has settled, W m⁻¹ K⁻¹ and J m⁻³ K⁻¹ (Oke 1987, between fresh and old), and its density, kg/m³.
const SNOW: (f64, f64, f64) = (0.15, 4.0e5, 200.0);
/// Snow melts by 3 mm of water a day for every degree of the day's mean above zero (degree-day method, from memory).
const MELT_MM_PER_K_DAY: f64 = 3.0;

/// One hour as measured; gaps are `None`.
struct Hour {
    air_c: Option<f64>,
    vapour_kpa: Option<f64>,
    sun_w_m2: Option<f64>,
    surface_c: Option<f64>,
    moisture: Option<f64>,
    rain_mm: f64,
}

/// Rows of this site, the nights with all members for the tables of chances, and the rows beside the rivals.
pub fn rows(data: &Path) -> Result<(Vec<Row>, Nights, String), Box<dyn Error>> {
    let hours = read(data)?;
    // The first record ends at 2018-01-01 01:00 UTC.
    let span = Span { place: PLACE, start: Moment(1_514_764_800), slot_s: 3600 };
    let sunlight: Vec<Option<f64>> = hours.iter().map(|h| h.sun_w_m2).collect();
    let clouds = clouds(&span, &sunlight);
    let members: Vec<Vec<Lanes>> = (0..BLOCKS)
        .into_par_iter()
        .map(|block| run(&hours, &clouds, block))
        .collect::<Result<_, _>>()?;
    let nights = minima(&hours, &span, &members);
    let mut rows = Vec::new();
    for (site, days, aimed) in SEASONS {
        let (mut model, mut air) = (Pairs::default(), Pairs::default());
        for night in nights.0.iter().filter(|n| days.contains(&n.day)) {
            model.add(night.mean(), night.measured);
            air.add(night.rival, night.measured);
        }
        let better = air.rmse() / model.rmse();
        let row = model.row(site, "coldest surface hour of the night").against(&air);
        let aim = format!("1.8 times better than the rival ({better:.2})");
        rows.push(if aimed { row.aim(&aim, better >= 1.8) } else { row });
    }
    let seasons = ["April–October 2018", "April–October 2019", "November–March"];
    let beside = rivals::rows("Dinosaur, rangeland", &seasons, &beside(&hours, &clouds, &nights));
    Ok((rows, nights, beside))
}

/// The nights as the rivals see them; the sun of the day before stands for the wind, which is not measured.
fn beside(hours: &[Hour], clouds: &[Option<Cloud>], nights: &Nights) -> Vec<rivals::Night> {
    let mut out = Vec::new();
    for night in &nights.0 {
        let noon = night.day * DAY_H + NOON_UTC;
        let dark: Vec<usize> = (noon + 8..noon + 19).collect();
        let mean = |get: &dyn Fn(usize) -> Option<f64>| {
            let known: Vec<f64> = dark.iter().filter_map(|i| get(*i)).collect();
            known.iter().sum::<f64>() / known.len().max(1) as f64
        };
        let air = |i: usize| hours[i].air_c;
        let high = (noon..noon + 8).filter_map(air).fold(night.rival, f64::max);
        let dew = dew_point_c(mean(&|i| hours[i].vapour_kpa));
        let sun = (noon - 12..noon + 8).filter_map(|i| hours[i].sun_w_m2).sum::<f64>() / 1000.0;
        let cloud = mean(&|i| clouds[i].map(|c| c.cover));
        out.push(rivals::Night {
            group: match night.day {
                90..304 => 0,
                455..669 => 1,
                _ => 2,
            },
            measured: night.measured,
            said: night.mean(),
            terms: [night.rival, high - night.rival, night.rival - dew, sun, cloud],
            clear_calm: cloud < 0.2,
        });
    }
    out
}

fn read(data: &Path) -> Result<Vec<Hour>, Box<dyn Error>> {
    let mut out = Vec::new();
    for file in FILES {
        let text = std::fs::read_to_string(data.join("hourly").join(file))?;
        for line in text.lines() {
            let fields: Vec<&str> = line.split_whitespace().collect();
            let get = |i: usize, least: f64| {
                fields.get(i).and_then(|f| f.parse::<f64>().ok()).filter(|x| *x > least)
            };
            let air_c = get(9, -90.0);
            out.push(Hour {
                air_c,
                vapour_kpa: air_c.zip(get(26, -1.0)).map(|(t, rh)| vapour_kpa(t, rh)),
                sun_w_m2: get(13, -50.0).map(|g| g.max(0.0)),
                surface_c: get(20, -90.0),
                moisture: get(28, 0.0),
                rain_mm: get(12, 0.0).unwrap_or(0.0),
            });
        }
    }
    Ok(out)
}

/// Dry rangeland: loam with scattered low shrubs; `top` lies on the soil that holds the probes.
fn bed(top: Litter, albedo: f64) -> Bed {
    Bed {
        ground: Ground {
            porosity: 0.46,
            quartz: 0.4,
            bulk_density_kg_m3: 1400.0,
            organic: 0.02,
            coarse: false,
            litter: Some(top),
            emissivity: 0.95,
            albedo,
            evaporates: true,
        },
        canopy: Canopy { height_m: 0.1, ground_cover: 0.15, leaf_m: 0.02, alive: true },
        wind_height_m: 10.0,
        pressure_kpa: pressure_kpa(PLACE.elevation_m),
    }
}

/// Snow on the ground at the start of every day, m: falls where the air is below 1 °C, melts by the degree-day.
fn snow_m(hours: &[Hour]) -> Vec<f64> {
    let mut water_mm = 0.0_f64;
    hours
        .chunks(DAY_H)
        .map(|day| {
            let before = water_mm / SNOW.2;
            let air = |h: &Hour| h.air_c.unwrap_or(0.0);
            let fallen: f64 = day.iter().filter(|h| air(h) < 1.0).map(|h| h.rain_mm).sum();
            let mean = day.iter().map(air).sum::<f64>() / day.len() as f64;
            water_mm = (water_mm + fallen - MELT_MM_PER_K_DAY * mean.max(0.0)).max(0.0);
            before
        })
        .collect()
}

/// Mean measured moisture of the days around `hour`.
fn moisture(hours: &[Hour], hour: usize) -> f64 {
    let reach = MOISTURE_DAYS * DAY_H / 2;
    let around = &hours[hour.saturating_sub(reach)..(hour + reach).min(hours.len())];
    let known: Vec<f64> = around.iter().filter_map(|h| h.moisture).collect();
    // Frozen for weeks on end: what autumn left.
    if known.is_empty() { 0.15 } else { known.iter().sum::<f64>() / known.len() as f64 }
}

/// Surface temperature of sixteen members, hour by hour.
fn run(
    hours: &[Hour],
    clouds: &[Option<Cloud>],
    block: u64,
) -> Result<Vec<Lanes>, microclimate::Error> {
    let mut rng = Xoshiro256PlusPlus::seed_from_u64(1000 + block);
    let mut normal = || -> f64 { StandardNormal.sample(&mut rng) };
    let z: [[f64; UNKNOWNS]; WIDTH] = std::array::from_fn(|_| std::array::from_fn(|_| normal()));
    let shift = Lanes::from_lanes(|_| priors::sky_emissivity(normal()));
    let off = Lanes::from_lanes(|_| priors::model_error_k(normal()));
    let wetter = Lanes::from_lanes(|_| (0.3 * normal()).exp());
    let (mut wind, mut cloudier) = (Lanes::splat(1.5), Lanes::splat(0.0));
    let memory = (-1.0 / MEMORY_H).exp();
    let start = Lanes::splat(0.0);
    let mut state = State::resting(start, Lanes::splat(0.4), [start; CELLS]);
    let mut last = [0.0, 0.4, 0.0, 0.5];
    let mut out = Vec::with_capacity(hours.len());
    for (day, snow) in snow_m(hours).into_iter().enumerate() {
        let from = day * DAY_H;
        let white = snow > 0.01;
        let covered = Lanes::splat(if white { 1.0 } else { 0.0 });
        let top = Litter { depth_m: snow, conductivity: SNOW.0, capacity_j_m3_k: SNOW.1 };
        let bed = if white { bed(top, 0.7) } else { bed(DRY_TOP, 0.2) };
        let wet = moisture(hours, from) / bed.ground.porosity;
        let saturation = (wetter * wet).clamp(0.05, 1.0);
        let draws = priors::draws(&z, 1.0, saturation);
        let column = column::build(&bed, &draws);
        let site = Site::new(&bed, None, &column, &draws);
        for (i, hour) in hours[from..(from + DAY_H).min(hours.len())].iter().enumerate() {
            // Each day at 19:00 UTC, local noon, another wind.
            if i == NOON_UTC {
                wind = Lanes::from_lanes(|_| priors::unknown_wind_m_s(normal()));
            }
            cloudier = Lanes::from_lanes(|m| {
                memory * cloudier.lane(m) + (1.0 - memory * memory).sqrt() * SIGMA_CLOUD * normal()
            });
            // A gap holds the last value; nights with a gap are not counted.
            let now = [
                hour.air_c.unwrap_or(last[0]),
                hour.vapour_kpa.unwrap_or(last[1]),
                hour.sun_w_m2.unwrap_or(0.0),
                clouds[from + i].map_or(last[3], |c| c.cover),
            ];
            let mut sum = Lanes::splat(0.0);
            let steps = (3600.0 / STEP_S) as usize;
            for k in 0..steps {
                let way = (k + 1) as f64 / steps as f64;
                let [air, vapour, sun, cloud] =
                    std::array::from_fn(|q| Lanes::splat(last[q] + (now[q] - last[q]) * way));
                let cloud = (cloud + cloudier).clamp(0.0, 1.0);
                let force = Forcing {
                    air_c: air,
                    vapour_kpa: vapour,
                    wind_m_s: wind,
                    sky_w_m2: sky::longwave_over_snow_w_m2(air, vapour, cloud, shift, covered),
                    sun_w_m2: sun,
                };
                step(&site, &force, &mut state)?;
                let leaves = bed.canopy.ground_cover;
                let skin = state.leaf_c * leaves + state.ground_c * (1.0 - leaves);
                let emissivity = leaves * LEAF_EMISSIVITY + (1.0 - leaves) * bed.ground.emissivity;
                sum += brightness_c(skin, emissivity, force.sky_w_m2);
            }
            out.push(sum / steps as f64 + off);
            last = now;
        }
    }
    Ok(out)
}

/// Coldest hour of every night with no gap, local noon to noon, after a month of spin-up.
fn minima(hours: &[Hour], span: &Span, members: &[Vec<Lanes>]) -> Nights {
    let mut nights = Nights::default();
    let noons = (30 * DAY_H + NOON_UTC..hours.len().saturating_sub(24)).step_by(DAY_H);
    for noon in noons {
        let dark: Vec<usize> =
            (noon..noon + 24).filter(|i| span.clear_sky_shortwave_w_m2(*i) <= 0.0).collect();
        let lowest = |get: &dyn Fn(&Hour) -> Option<f64>| {
            dark.iter().map(|i| get(&hours[*i])).try_fold(f64::MAX, |a, x| Some(a.min(x?)))
        };
        let (Some(measured), Some(air), Some(_)) =
            (lowest(&|h| h.surface_c), lowest(&|h| h.air_c), lowest(&|h| h.vapour_kpa))
        else {
            continue;
        };
        let mut said = Vec::new();
        for block in members {
            for lane in 0..WIDTH {
                said.push(dark.iter().map(|i| block[*i].lane(lane)).fold(f64::MAX, f64::min));
            }
        }
        nights.add(noon / DAY_H, said, measured, air);
    }
    nights
}
