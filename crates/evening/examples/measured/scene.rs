//! Days and nights as the published experiments state their weather, and one bed run through them.

use microclimate::bed::{Bed, Canopy, Ground};
use microclimate::cover::Shape;
use microclimate::parameters::STEP_S;
use microclimate::saturation::saturation_vapour_pressure_kpa;
use microclimate::soil::CELLS;
use microclimate::{Cover, Draws, Error, Forcing, Site, State, column, sky, step};
use quantities::moist_air::pressure_kpa;

/// A run of like days: air as a sine, sun as a half sine, sky and wind by day and by night.
#[derive(Clone, Copy, Debug)]
pub struct Scene {
    /// Mean air temperature, °C.
    pub mean_c: f64,
    /// Half of the daily range, K.
    pub swing_k: f64,
    /// Dew point below the night's lowest air, K.
    pub dry_k: f64,
    /// Cloud by night.
    pub cloud: f64,
    /// Cloud on the days before.
    pub day_cloud: f64,
    /// Wind at 10 m, m/s.
    pub wind_m_s: f64,
    /// Highest sunlight of a clear day, W/m².
    pub noon_w_m2: f64,
    /// Added to the clear-sky emissivity.
    pub emissivity_shift: f64,
}

/// Clear, calm, damp April night in the middle latitudes.
pub const CLEAR_CALM: Scene = Scene {
    mean_c: 6.0,
    swing_k: 8.0,
    dry_k: 1.0,
    cloud: 0.0,
    day_cloud: 0.1,
    wind_m_s: 1.2,
    noon_w_m2: 800.0,
    emissivity_shift: 0.0,
};

impl Scene {
    /// Weather `hours` after the first midnight.
    pub fn at(&self, hours: f64) -> Forcing<f64> {
        let h = hours.rem_euclid(24.0);
        let air = self.mean_c + self.swing_k * (std::f64::consts::TAU * (h - 15.0) / 24.0).cos();
        let dew = (self.mean_c - self.swing_k - self.dry_k).min(air);
        let vapour = saturation_vapour_pressure_kpa(dew);
        let cloud = if (6.0..18.0).contains(&h) { self.day_cloud } else { self.cloud };
        let light = (std::f64::consts::PI * (h - 6.0) / 12.0).sin().max(0.0);
        Forcing {
            air_c: air,
            vapour_kpa: vapour,
            wind_m_s: self.wind_m_s,
            sky_w_m2: sky::longwave_w_m2(air, vapour, cloud, self.emissivity_shift),
            sun_w_m2: self.noon_w_m2 * light * sky::cloud_transmissivity(cloud),
        }
    }

    /// The same scene under light and stronger wind, clear and lightly clouded: what the papers leave open.
    pub fn variants(&self) -> Vec<Self> {
        let mut out = Vec::new();
        for wind_m_s in [0.6, 1.2, 2.5] {
            for cloud in [0.0, 0.3] {
                out.push(Self { wind_m_s, cloud, ..*self });
            }
        }
        out
    }
}

/// When a cover lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Laid {
    /// From 18:00 of the last evening.
    Dusk,
    /// All days.
    LeftOn,
}

/// The last night and its day.
#[derive(Clone, Copy, Debug)]
pub struct Night {
    /// Coldest air among the plants, °C.
    pub air_c: f64,
    /// Coldest exposed tissue, °C.
    pub leaf_c: f64,
    /// Coldest air at 2 m, °C.
    pub outside_c: f64,
    /// Warmest air among the plants on the day before, less the air at 2 m then, K.
    pub day_excess_k: f64,
    /// Least of air among the plants less air at 2 m in the three hours after 18:00, K.
    pub after_sunset_k: f64,
}

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
        pressure_kpa: pressure_kpa(100.0),
    }
}

/// A low tunnel over wire hoops, half a metre high.
pub const TUNNEL: Shape =
    Shape { area_ratio: 1.45, mean_height_m: 0.38, crown_m: 0.5, gap_ratio: 0.007, contact: 0.0 };

/// Five days and the night after them.
pub fn run(
    bed: &Bed,
    cover: Option<(&Cover, Laid)>,
    scene: &Scene,
    draws: &Draws<f64>,
) -> Result<Night, Error> {
    let column = column::build(bed, draws);
    let mut state = State::resting(scene.mean_c, 0.6, [scene.mean_c; CELLS]);
    let far = f64::INFINITY;
    let mut night =
        Night { air_c: far, leaf_c: far, outside_c: far, day_excess_k: -far, after_sunset_k: far };
    let mut lay = false;
    let dusk = 24.0 * 4.0 + 18.0;
    let per_hour = (3600.0 / STEP_S) as u32;
    for k in 1..=per_hour * (24 * 5 + 9) {
        let hours = f64::from(k) / f64::from(per_hour);
        let force = scene.at(hours);
        let lies = cover.is_some_and(|(_, laid)| laid == Laid::LeftOn || hours >= dusk);
        if lies && !lay {
            state = state.just_covered(force.air_c);
            lay = true;
        }
        let over = cover.map(|c| c.0).filter(|_| lies);
        step(&Site::new(bed, over, &column, draws), &force, &mut state)?;
        if hours >= dusk {
            night.air_c = night.air_c.min(state.air_c);
            night.leaf_c = night.leaf_c.min(state.tissue_c(bed, over));
            night.outside_c = night.outside_c.min(force.air_c);
            if hours < dusk + 3.0 {
                night.after_sunset_k = night.after_sunset_k.min(state.air_c - force.air_c);
            }
        } else if hours >= 24.0 * 4.0 {
            night.day_excess_k = night.day_excess_k.max(state.air_c - force.air_c);
        }
    }
    Ok(night)
}
