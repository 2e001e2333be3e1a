//! One spring night of sixteen members, each a little different, and three covers: the same for the benchmark and for `bench/run`.

use microclimate::bed::{Bed, Canopy, Ground};
use microclimate::cover::{Cover, Fabric, Shape};
use microclimate::lanes::Lanes;
use microclimate::moist_air::{pressure_kpa, saturation_vapour_pressure_kpa};
use microclimate::real::Real;
use microclimate::soil::CELLS;
use microclimate::{Error, Forcing, Site, State, sky, step};

/// Steps of a night of sixteen hours.
pub const STEPS: usize = 96;

/// A damp loam bed with young plants.
pub fn bed() -> Bed {
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
            evaporates: true,
        },
        canopy: Canopy { height_m: 0.15, ground_cover: 0.3, leaf_m: 0.05, alive: true },
        wind_height_m: 10.0,
        pressure_kpa: pressure_kpa(320.0),
    }
}

/// Weather from sunset to mid-morning.
pub fn night() -> Vec<Forcing<Lanes>> {
    (0..STEPS)
        .map(|k| {
            let hours = k as f64 / 6.0;
            let of = |f: &dyn Fn(f64) -> f64| Lanes::from_lanes(|m| f(0.5 * (m as f64) - 3.75));
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

/// Open, one sheet, two sheets on hoops half a metre high.
pub fn covers() -> [(&'static str, Option<Cover>); 3] {
    let shape = Shape {
        area_ratio: 1.45,
        mean_height_m: 0.38,
        crown_m: 0.5,
        gap_ratio: 0.007,
        contact: 0.0,
    };
    let cloth = |layers| Cover::Cloth { fabric: Fabric::row_cover(50.0), layers, shape };
    [("open", None), ("50 g", Some(cloth(1))), ("50 g doubled", Some(cloth(2)))]
}

/// The state after the night.
pub fn through(site: &Site<'_, Lanes>, night: &[Forcing<Lanes>]) -> Result<State<Lanes>, Error> {
    let mut state = State::resting(Lanes::of(9.0), Lanes::of(0.6), [Lanes::of(9.0); CELLS]);
    for force in night {
        step(site, force, &mut state)?;
    }
    Ok(state)
}
