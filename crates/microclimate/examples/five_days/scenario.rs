//! The scenarios of a file as beds, covers, draws and weather, and one of them run from its start.

use std::error::Error;

use microclimate::bed::{Bed, Canopy, Ground, Litter};
use microclimate::cover::{Cover, Fabric, Shape};
use microclimate::draws::soil_resistance_s_m;
use microclimate::saturation::saturation_vapour_pressure_kpa;
use microclimate::sky::longwave_w_m2;
use microclimate::soil::CELLS;
use microclimate::{Draws, Forcing, Site, State, column, step};
use quantities::moist_air::pressure_kpa;
use serde::Deserialize;
use serde_json::Value;

/// A course: its name, the depths of its cells, and its state at every whole hour.
pub struct Course {
    pub name: String,
    pub depths_m: [f64; CELLS],
    pub hours: Vec<State<f64>>,
}

/// Every scenario of the text of a file, with steps of `step_s` seconds.
///
/// Backward Euler asks for the weather at the end of a step.
pub fn courses(text: &str, step_s: f64) -> Result<Vec<Course>, Box<dyn Error>> {
    let file: Scenarios = serde_json::from_str(text)?;
    let mut all = Vec::new();
    for value in &file.scenarios {
        let scenario: Scenario = serde_json::from_value(merged(&file.defaults, value))?;
        all.push(run(scenario, file.days, step_s)?);
    }
    Ok(all)
}

#[derive(Deserialize)]
struct Scenarios {
    days: u32,
    defaults: Value,
    scenarios: Vec<Value>,
}

#[derive(Deserialize)]
struct Scenario {
    name: String,
    bed: BedWords,
    draws: DrawWords,
    weather: Weather,
    cover: Option<CoverWords>,
}

#[derive(Deserialize)]
struct BedWords {
    porosity: f64,
    quartz: f64,
    bulk_density_kg_m3: f64,
    organic: f64,
    coarse: bool,
    litter: Option<LitterWords>,
    emissivity: f64,
    albedo: f64,
    evaporates: bool,
    height_m: f64,
    ground_cover: f64,
    leaf_m: f64,
    wind_height_m: f64,
    elevation_m: f64,
    snow_m: f64,
    snow_on_cover_m: f64,
}

#[derive(Deserialize)]
struct LitterWords {
    depth_m: f64,
    conductivity: f64,
    capacity_j_m3_k: f64,
}

#[derive(Deserialize)]
struct DrawWords {
    saturation: f64,
    convection: f64,
    leak: f64,
    transmissivity: f64,
    shelter: f64,
    sky_emissivity: f64,
    still_air: f64,
}

#[derive(Deserialize)]
struct Weather {
    mean_c: f64,
    swing_k: f64,
    warmest_h: f64,
    dew_above_low_k: f64,
    wind_m_s: f64,
    wind_swing_m_s: f64,
    cloud: f64,
    sun_peak_w_m2: f64,
    soil_start_c: f64,
}

#[derive(Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
enum CoverWords {
    RowCover {
        weight_g_m2: f64,
        #[serde(flatten)]
        lie: Lie,
    },
    Film {
        thickness_um: f64,
        #[serde(flatten)]
        lie: Lie,
    },
    InsectNet {
        #[serde(flatten)]
        lie: Lie,
    },
    ShadeCloth {
        shade: f64,
        #[serde(flatten)]
        lie: Lie,
    },
    Loose {
        depth_m: f64,
        conductivity: f64,
    },
}

#[derive(Deserialize)]
struct Lie {
    layers: u32,
    area_ratio: f64,
    mean_height_m: f64,
    crown_m: f64,
    gap_ratio: f64,
    contact: f64,
}

impl BedWords {
    fn bed(&self) -> Bed {
        Bed {
            ground: Ground {
                porosity: self.porosity,
                quartz: self.quartz,
                bulk_density_kg_m3: self.bulk_density_kg_m3,
                organic: self.organic,
                coarse: self.coarse,
                litter: self.litter.as_ref().map(|l| Litter {
                    depth_m: l.depth_m,
                    conductivity: l.conductivity,
                    capacity_j_m3_k: l.capacity_j_m3_k,
                }),
                emissivity: self.emissivity,
                albedo: self.albedo,
                evaporates: self.evaporates,
            },
            canopy: Canopy {
                height_m: self.height_m,
                ground_cover: self.ground_cover,
                leaf_m: self.leaf_m,
                alive: true,
            },
            wind_height_m: self.wind_height_m,
            pressure_kpa: pressure_kpa(self.elevation_m),
        }
    }
}

impl DrawWords {
    fn draws(&self) -> Draws<f64> {
        Draws {
            saturation: self.saturation,
            soil_resistance_s_m: soil_resistance_s_m(self.saturation),
            convection: self.convection,
            leak: self.leak,
            transmissivity: self.transmissivity,
            shelter: self.shelter,
            still_air: self.still_air,
        }
    }
}

impl CoverWords {
    fn cover(&self) -> Cover {
        let (fabric, lie) = match self {
            Self::Loose { depth_m, conductivity } => {
                return Cover::Loose { depth_m: *depth_m, conductivity: *conductivity };
            }
            Self::RowCover { weight_g_m2, lie } => (Fabric::row_cover(*weight_g_m2), lie),
            Self::Film { thickness_um, lie } => (Fabric::film(*thickness_um), lie),
            Self::InsectNet { lie } => (Fabric::insect_net(), lie),
            Self::ShadeCloth { shade, lie } => (Fabric::shade_cloth(*shade), lie),
        };
        let shape = Shape {
            area_ratio: lie.area_ratio,
            mean_height_m: lie.mean_height_m,
            crown_m: lie.crown_m,
            gap_ratio: lie.gap_ratio,
            contact: lie.contact,
        };
        Cover::Cloth { fabric, layers: lie.layers, shape }
    }
}

impl Weather {
    /// The invented weather `hours` after the first midnight.
    fn at(&self, hours: f64, sky_emissivity: f64) -> Forcing<f64> {
        let turn = |from: f64| std::f64::consts::TAU * (hours - from) / 24.0;
        let day = turn(self.warmest_h).cos();
        let air_c = self.mean_c + self.swing_k * day;
        let dew_c = air_c.min(self.mean_c - self.swing_k + self.dew_above_low_k);
        let vapour_kpa = saturation_vapour_pressure_kpa(dew_c);
        Forcing {
            air_c,
            vapour_kpa,
            wind_m_s: self.wind_m_s + self.wind_swing_m_s * day,
            sky_w_m2: longwave_w_m2(air_c, vapour_kpa, self.cloud, sky_emissivity),
            sun_w_m2: self.sun_peak_w_m2
                * turn(6.0).sin().max(0.0)
                * (1.0 - 0.75 * self.cloud.powf(3.4)),
        }
    }
}

/// `over` laid on `under`, name by name.
fn merged(under: &Value, over: &Value) -> Value {
    match (under, over) {
        (Value::Object(under), Value::Object(over)) => {
            let mut all = under.clone();
            for (name, value) in over {
                let value = all.get(name).map_or_else(|| value.clone(), |u| merged(u, value));
                all.insert(name.clone(), value);
            }
            Value::Object(all)
        }
        _ => over.clone(),
    }
}

fn run(scenario: Scenario, days: u32, step_s: f64) -> Result<Course, microclimate::Error> {
    let (bed, draws) = (scenario.bed.bed(), scenario.draws.draws());
    let cover = scenario.cover.as_ref().map(CoverWords::cover);
    let column = column::build_for(&bed, &draws, step_s).under_snow(scenario.bed.snow_m);
    let site = Site::new(&bed, cover.as_ref(), &column, &draws)
        .with_snow_on_cover(scenario.bed.snow_on_cover_m);
    let at = |hours| scenario.weather.at(hours, scenario.draws.sky_emissivity);
    let start = at(0.0);
    let soil = [scenario.weather.soil_start_c; CELLS];
    let mut state = State::resting(start.air_c, start.vapour_kpa, soil);
    let steps_an_hour = (3600.0 / step_s).round() as u32;
    let mut hours = vec![state];
    for k in 1..=days * 24 * steps_an_hour {
        let force = at(f64::from(k) * step_s / 3600.0);
        step(&site, &force, &mut state)?;
        if k % steps_an_hour == 0 {
            hours.push(state);
        }
    }
    Ok(Course { depths_m: column::depths_m(&bed), name: scenario.name, hours })
}
