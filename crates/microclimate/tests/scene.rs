//! Beds, covers and nights the laws are tried on, and the loop that runs them.

use microclimate::bed::{Bed, Canopy, Ground};
use microclimate::cover::{Cover, Fabric, Shape};
use microclimate::saturation::saturation_vapour_pressure_kpa;
use microclimate::sky;
use microclimate::{Draws, Forcing, Site, State, column, step};
use quantities::moist_air::pressure_kpa;

/// A damp loam bed with young plants.
pub fn bed() -> Bed {
    Bed {
        ground: Ground {
            porosity: 0.45,
            quartz: 0.4,
            bulk_density_kg_m3: 1350.0,
            organic: 0.0,
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

pub fn tunnel(fabric: Fabric, layers: u32) -> Cover {
    Cover::Cloth {
        fabric,
        layers,
        shape: Shape {
            area_ratio: 1.45,
            mean_height_m: 0.38,
            crown_m: 0.5,
            gap_ratio: 0.004,
            contact: 0.0,
        },
    }
}

pub fn flat(fabric: Fabric, contact: f64) -> Cover {
    Cover::Cloth {
        fabric,
        layers: 1,
        shape: Shape {
            area_ratio: 1.0,
            mean_height_m: 0.12,
            crown_m: 0.15,
            gap_ratio: 0.003,
            contact,
        },
    }
}

pub fn straw() -> Cover {
    Cover::Loose { depth_m: 0.1, conductivity: 0.07 }
}

/// Every kind of cover.
pub fn covers() -> Vec<(&'static str, Cover)> {
    vec![
        ("17 g", tunnel(Fabric::row_cover(17.0), 1)),
        ("50 g", tunnel(Fabric::row_cover(50.0), 1)),
        ("50 g doubled", tunnel(Fabric::row_cover(50.0), 2)),
        ("film", tunnel(Fabric::film(100.0), 1)),
        ("net", tunnel(Fabric::insect_net(), 1)),
        ("shade", tunnel(Fabric::shade_cloth(0.4), 1)),
        ("floating 30 g", flat(Fabric::row_cover(30.0), 0.5)),
        ("straw", straw()),
    ]
}

/// An April day and night: clear or cloudy, calm or windy.
#[derive(Clone, Copy, Debug)]
pub struct Weather {
    pub wind: f64,
    pub cloud: f64,
    pub mean: f64,
    pub swing: f64,
    pub day_cloud: f64,
}

pub const CALM_CLEAR: Weather =
    Weather { wind: 1.2, cloud: 0.0, mean: 6.0, swing: 8.0, day_cloud: 0.1 };

impl Weather {
    /// Forcing `hours` after midnight of the first day; the sun of 40° N in April as a half sine.
    pub fn at(&self, hours: f64) -> Forcing<f64> {
        let h = hours.rem_euclid(24.0);
        let air = self.mean + self.swing * (std::f64::consts::TAU * (h - 15.0) / 24.0).cos();
        let dew = (self.mean - self.swing + 1.0).min(air);
        let vapour = saturation_vapour_pressure_kpa(dew);
        let light = (std::f64::consts::PI * (h - 6.0) / 12.0).sin().max(0.0);
        let day = (6.0..18.0).contains(&h);
        let cloud = if day { self.day_cloud } else { self.cloud };
        Forcing {
            air_c: air,
            vapour_kpa: vapour,
            wind_m_s: self.wind,
            sky_w_m2: sky::longwave_w_m2(air, vapour, cloud, 0.0),
            sun_w_m2: 800.0 * light * (1.0 - 0.75 * cloud.powf(3.4)),
        }
    }
}

/// Coldest values of a night, °C.
#[derive(Clone, Copy, Debug)]
pub struct Night {
    pub leaf: f64,
    pub air: f64,
    pub outside: f64,
    pub residual: f64,
    pub day_air: f64,
}

/// When the cover lies: from `on` hour of the last evening, or from the first day when `left_on`.
pub fn run(
    bed: &Bed,
    cover: Option<&Cover>,
    weather: &Weather,
    draws: &Draws<f64>,
    left_on: bool,
) -> Night {
    let column = column::build(bed, draws);
    let mut state = State::resting(weather.mean, 0.6, [weather.mean; 15]);
    let mut out = Night {
        leaf: f64::INFINITY,
        air: f64::INFINITY,
        outside: f64::INFINITY,
        residual: 0.0,
        day_air: f64::NEG_INFINITY,
    };
    let mut on = false;
    for k in 0..(6 * 24 * 5 + 6 * 15) {
        let hours = f64::from(k) / 6.0;
        let force = weather.at(hours);
        let covered = cover.is_some() && (left_on || hours >= 24.0 * 4.0 + 18.0);
        if covered && !on {
            state = state.just_covered(force.air_c);
            on = true;
        }
        let site = Site::new(bed, cover.filter(|_| covered), &column, draws);
        let fluxes = step(&site, &force, &mut state)
            .unwrap_or_else(|e| panic!("hour {hours}: {e} ({state:?})"));
        out.residual = out.residual.max(fluxes.residual_w_m2);
        if hours > 24.0 * 4.0 + 18.0 {
            out.leaf = out.leaf.min(state.tissue_c(bed, cover.filter(|_| covered)));
            out.air = out.air.min(state.air_c);
            out.outside = out.outside.min(force.air_c);
            out.day_air = out.day_air.max(state.air_c);
        }
    }
    out
}
