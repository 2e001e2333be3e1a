//! A walk-in tunnel of bare film in Britain, October 2021 to April 2022: coldest air inside less coldest outside, night by night.
//!
//! The air outside is as measured. Its size is not stated: 3 m wide, 6 m long, 2 m high is taken, with 5 mm round two doors.
//! Wind, cloud and the model's unknowns are drawn, and dew point half a kelvin below the day's lowest air.

use std::error::Error;
use std::path::Path;

use evening::priors::{self, UNKNOWNS};
use garden::bed::Wetness;
use microclimate::cover::{Fabric, Shape};
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::parameters::STEP_S;
use microclimate::real::Real;
use microclimate::saturation::saturation_vapour_pressure_kpa;
use microclimate::soil::CELLS;
use microclimate::{Cover, Forcing, Site, State, column, sky, step};
use quantities::{Moment, Place, quantile, sun};
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;

use crate::record::bridged;
use crate::scene::bed;

/// First and last moment: 2021-10-01 and 2022-04-04, UTC, when bubbles were put in.
const SPAN: (i64, i64) = (1_633_046_400, 1_649_030_400);
const PLACE: Place = Place { latitude_deg: 52.0, longitude_deg: -1.0, elevation_m: 80.0 };
/// Steps of a day.
const DAY: usize = (86_400.0 / STEP_S) as usize;
/// Days before the first night that counts.
const SPIN_UP_DAYS: usize = 10;
/// A night counts where inside or outside fell below this, °C.
const COLD_C: f64 = 3.0;
/// Wind over a garden in Britain, m/s: median and spread of its logarithm (from memory).
const WIND: (f64, f64) = (2.0, 0.6);

/// 3 × 6 m, 2 m high: 4.9 m of arch, two ends of 4.7 m².
const SHAPE: Shape =
    Shape { area_ratio: 2.16, mean_height_m: 1.57, crown_m: 2.0, gap_ratio: 0.0033, contact: 0.0 };

/// Quantiles of inside less outside, measured and computed, as Markdown.
pub fn markdown(data: &Path) -> Result<String, Box<dyn Error>> {
    let (outside, inside) = read(data)?;
    let air = bridged(&outside).ok_or("no air outside")?;
    let computed = run(&air)?;
    let (mut measured, mut said) = (Vec::new(), Vec::new());
    for noon in (SPIN_UP_DAYS * DAY + DAY / 2..air.len() - DAY).step_by(DAY) {
        let low = |x: &[f64]| x.iter().copied().fold(f64::MAX, f64::min);
        let both: Vec<(f64, f64)> =
            (noon..noon + DAY).filter_map(|i| Some((outside[i]?, inside[i]?))).collect();
        if both.len() < DAY * 9 / 10 {
            continue;
        }
        let out = both.iter().map(|b| b.0).fold(f64::MAX, f64::min);
        let within = both.iter().map(|b| b.1).fold(f64::MAX, f64::min);
        if out.min(within) < COLD_C {
            measured.push(within - out);
            let least = low(&air[noon..noon + DAY]);
            for lane in 0..WIDTH {
                let inside: Vec<f64> =
                    computed[noon..noon + DAY].iter().map(|c| c.lane(lane)).collect();
                said.push(low(&inside) - least);
            }
        }
    }
    let mut out = String::from(
        "| | nights | 5 % | 25 % | 50 % | 75 % | 95 % | mean |\n|---|--:|--:|--:|--:|--:|--:|--:|\n",
    );
    let mut bands = Vec::new();
    for (name, nights, all) in
        [("measured", measured.len(), &mut measured), ("computed", said.len(), &mut said)]
    {
        all.sort_by(f64::total_cmp);
        let at =
            [0.05, 0.25, 0.5, 0.75, 0.95].map(|p| quantile::type_7(all, p).unwrap_or(f64::NAN));
        let mean = all.iter().sum::<f64>() / all.len() as f64;
        let cells: Vec<String> = at.iter().map(|q| format!("{q:+.1}")).collect();
        out.push_str(&format!("| {name} | {nights} | {} | {mean:+.2} |\n", cells.join(" | ")));
        bands.push((at, mean));
    }
    let hit = (bands[1].0[1]..=bands[1].0[3]).contains(&bands[0].1);
    out.push_str(&format!(
        "\nThe measured mean lies {} the computed 50 % band.\n",
        if hit { "inside" } else { "**outside**" }
    ));
    Ok(out)
}

/// Air outside and inside at every step of the span.
#[expect(clippy::type_complexity, reason = "two columns of one file")]
fn read(data: &Path) -> Result<(Vec<Option<f64>>, Vec<Option<f64>>), Box<dyn Error>> {
    let file = std::fs::File::open(data.join("pairs/walk_in_tunnel_2021_2025.csv.gz"))?;
    let mut table = csv::Reader::from_reader(flate2::read::GzDecoder::new(file));
    let n = ((SPAN.1 - SPAN.0) as f64 / STEP_S) as usize;
    let (mut outside, mut inside) = (vec![None; n], vec![None; n]);
    for line in table.records() {
        let line = line?;
        let Some(at) = line.get(0).and_then(seconds) else { continue };
        let slot = (at - SPAN.0).div_euclid(STEP_S as i64);
        if let Ok(slot) = usize::try_from(slot)
            && slot < n
        {
            outside[slot] = line.get(1).and_then(|x| x.parse().ok());
            inside[slot] = line.get(2).and_then(|x| x.parse().ok());
        }
    }
    Ok((outside, inside))
}

/// Seconds since 1970 of a time written as 2021-04-18 18:40:00, for 2021 and 2022.
fn seconds(stamp: &str) -> Option<i64> {
    const DAYS_BEFORE: [i64; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];
    let number = |range: std::ops::Range<usize>| stamp.get(range)?.parse::<i64>().ok();
    let year = number(0..4)?;
    let month = usize::try_from(number(5..7)?).ok()?;
    if !(2021..=2022).contains(&year) {
        return None;
    }
    let days =
        18_628 + 365 * (year - 2021) + DAYS_BEFORE.get(month.checked_sub(1)?)? + number(8..10)? - 1;
    Some(days * 86_400 + number(11..13)? * 3600 + number(14..16)? * 60)
}

/// Air inside at every step, sixteen members.
fn run(air: &[f64]) -> Result<Vec<Lanes>, microclimate::Error> {
    let mut rng = Xoshiro256PlusPlus::seed_from_u64(11);
    let mut normal = || -> f64 { StandardNormal.sample(&mut rng) };
    let z: [[f64; UNKNOWNS]; WIDTH] = std::array::from_fn(|_| std::array::from_fn(|_| normal()));
    let draws = priors::draws(&z, 1.0, priors::saturations(Wetness::Damp));
    let bed = bed();
    let column = column::build(&bed, &draws);
    let cover = Cover::Cloth { fabric: Fabric::film(150.0), layers: 1, shape: SHAPE };
    let site = Site::new(&bed, Some(&cover), &column, &draws);
    let start = Lanes::splat(air[0]);
    let mut state = State::resting(start, Lanes::splat(0.9), [start; CELLS]);
    let (mut wind, mut cloud) = (Lanes::splat(WIND.0), Lanes::splat(0.5));
    let mut out = Vec::with_capacity(air.len());
    for (k, t) in air.iter().enumerate() {
        if k % DAY == DAY / 2 {
            wind = Lanes::from_lanes(|_| WIND.0 * (WIND.1 * normal()).exp());
            cloud = Lanes::from_lanes(|_| priors::uniform(normal()));
        }
        let around = &air[k.saturating_sub(DAY / 2)..(k + DAY / 2).min(air.len())];
        let dew = around.iter().copied().fold(*t, f64::min) - 0.5;
        let vapour = Lanes::splat(saturation_vapour_pressure_kpa(dew));
        let moment = Moment(SPAN.0).plus_seconds(k as i64 * STEP_S as i64);
        let clear = sun::position(&PLACE, moment)
            .map_or(0.0, |p| sky::clear_sky_shortwave_w_m2(p.zenith_deg));
        let air = Lanes::splat(*t);
        let force = Forcing {
            air_c: air,
            vapour_kpa: vapour,
            wind_m_s: wind,
            sky_w_m2: sky::longwave_w_m2(air, vapour, cloud, Lanes::splat(0.0)),
            sun_w_m2: sky::cloud_transmissivity(cloud) * clear,
        };
        step(&site, &force, &mut state)?;
        out.push(state.air_c);
    }
    Ok(out)
}
