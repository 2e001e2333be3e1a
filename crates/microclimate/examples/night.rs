//! Runs one spring night of eight members many times under three covers and prints, as JSON, bed-hours a second on this
//! core and the temperatures at its end. The other half: `bench/rivals.py` runs the same night in numpy and in numba.

use std::error::Error;
use std::hint::black_box;
use std::time::{Duration, Instant};

use microclimate::bed::{Bed, Canopy, Ground};
use microclimate::cover::{Cover, Fabric, Shape};
use microclimate::moist_air::{pressure_kpa, saturation_vapour_pressure_kpa};
use microclimate::real::{Lanes, Real, WIDTH};
use microclimate::soil::CELLS;
use microclimate::{Draws, Forcing, Site, State, column, sky, step};
use serde_json::{Value, json};

/// Steps of a night of sixteen hours.
const STEPS: usize = 96;
/// The best of so many rounds counts.
const ROUNDS: usize = 7;
/// Each round repeats the night at least this long.
const ROUND: Duration = Duration::from_millis(300);

fn bed() -> Bed {
    Bed {
        ground: Ground {
            porosity: 0.46,
            quartz: 0.4,
            bulk_density_kg_m3: 1400.0,
            organic: 0.02,
            coarse: false,
            litter: None,
            emissivity: 0.95,
            albedo: 0.17,
            breathes: true,
        },
        canopy: Canopy { height_m: 0.15, ground_cover: 0.3, leaf_m: 0.05, alive: true },
        wind_height_m: 10.0,
        pressure_kpa: pressure_kpa(320.0),
    }
}

/// Sunset to mid-morning, every lane a little different: the night of `benches/bed_hours.rs`.
fn night() -> Vec<Forcing<Lanes>> {
    (0..STEPS)
        .map(|k| {
            let hours = k as f64 / 6.0;
            let of = |f: &dyn Fn(f64) -> f64| Lanes::from_lanes(|m| f(m as f64 - 3.5));
            let air = of(&|m| 6.0 - 8.0 * (hours / 16.0 * std::f64::consts::PI).sin() + 0.5 * m);
            let vapour = saturation_vapour_pressure_kpa(of(&|m| -3.0 + 0.3 * m));
            Forcing {
                air_c: air,
                vapour_kpa: vapour,
                wind_m_s: of(&|m| 1.5 + 0.2 * m),
                sky_w_m2: sky::longwave_w_m2(air, vapour, of(&|m| 0.2 + 0.05 * m), Lanes::of(0.0)),
                sun_w_m2: Lanes::of((200.0 * (hours - 13.0)).max(0.0)),
            }
        })
        .collect()
}

fn through(
    site: &Site<'_, Lanes>,
    night: &[Forcing<Lanes>],
) -> Result<State<Lanes>, microclimate::Error> {
    let mut state = State::resting(Lanes::of(9.0), Lanes::of(0.6), [Lanes::of(9.0); CELLS]);
    for force in night {
        step(site, force, &mut state)?;
    }
    Ok(state)
}

/// Bed-hours a second, the best of some rounds.
fn speed(site: &Site<'_, Lanes>, night: &[Forcing<Lanes>]) -> Result<f64, microclimate::Error> {
    let mut best = 0.0_f64;
    for _ in 0..ROUNDS {
        let start = Instant::now();
        let mut nights = 0_usize;
        while start.elapsed() < ROUND {
            black_box(through(black_box(site), black_box(night))?);
            nights += 1;
        }
        let bed_hours = (nights * STEPS / 6 * WIDTH) as f64;
        best = best.max(bed_hours / start.elapsed().as_secs_f64());
    }
    Ok(best)
}

fn main() -> Result<(), Box<dyn Error>> {
    let (bed, night) = (bed(), night());
    let draws = Draws::<Lanes>::central(0.6);
    let column = column::build(&bed, &draws);
    let shape = Shape {
        area_ratio: 1.45,
        mean_height_m: 0.38,
        crown_m: 0.5,
        gap_ratio: 0.007,
        contact: 0.0,
    };
    let cloth = |layers| Cover::Cloth { fabric: Fabric::row_cover(50.0), layers, shape };
    let covers = [("open", None), ("50 g", Some(cloth(1))), ("50 g doubled", Some(cloth(2)))];
    let mut told = Vec::new();
    for (name, cover) in &covers {
        let site = Site { bed: &bed, cover: cover.as_ref(), column: &column, draws: &draws };
        let end = through(&site, &night)?;
        let members = |x: Lanes| -> Vec<f64> { (0..WIDTH).map(|i| x.lane(i)).collect() };
        told.push(json!({
            "cover": name,
            "bed_hours_a_second": speed(&site, &night)?,
            "ground": members(end.ground_c),
            "leaf": members(end.leaf_c),
            "air": members(end.air_c),
        }));
    }
    println!("{}", json!({ "covers": Value::Array(told) }));
    Ok(())
}
