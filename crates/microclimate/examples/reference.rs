//! Prints tables of the crate's own functions as one JSON document, to be held against other people's programs.
//!
//! Each table is an object of equally long columns named with their unit; a missing value is null.
//! Read by `checks/references/`.

use microclimate::black_body::emission;
use microclimate::parameters::STEP_S;
use microclimate::sky::{clear_sky_longwave_w_m2, clear_sky_shortwave_w_m2};
use microclimate::soil::{CELLS, Cell, Column, ColumnState, Response, thicknesses};
use microclimate::soil_properties::damping_depth_m;
use quantities::constants::{CIVIL_DUSK_ALTITUDE_DEG, SUNRISE_ALTITUDE_DEG};
use quantities::moist_air::{
    dew_point_c, frost_point_c, pressure_kpa, saturation_over_ice_kpa, saturation_over_water_kpa,
    wet_bulb_c,
};
use quantities::{Moment, Place, sun};
use serde_json::{Value, json};

const HOUR_S: i64 = 3600;
const DAY_S: i64 = 86_400;
/// 1 January 2020, 0:00 UTC.
const YEAR_2020: i64 = 1_577_836_800;
/// Days of the years 2020 to 2030.
const DAYS: i64 = 4018;
/// Latitude and longitude of invented gardens, degrees.
const GARDENS: [(f64, f64); 10] = [
    (-60.0, -45.0),
    (-45.0, 170.0),
    (-33.0, -70.0),
    (-15.0, 28.0),
    (0.0, -78.0),
    (15.0, 100.0),
    (30.0, -95.0),
    (45.0, -89.0),
    (55.0, 12.0),
    (65.0, 25.0),
];

fn main() -> Result<(), serde_json::Error> {
    let document = json!({
        "moist_air": {
            "saturation": saturation(),
            "moist": moist(),
            "pressure": pressure(),
        },
        "sun": {
            "position": positions(),
            "rise": crossings(SUNRISE_ALTITUDE_DEG, false),
            "set": crossings(SUNRISE_ALTITUDE_DEG, true),
            "dusk": crossings(CIVIL_DUSK_ALTITUDE_DEG, true),
        },
        "radiation": {
            "sunlight": sunlight(),
            "day_sum": day_sums(),
            "sky": sky(),
        },
        "soil": {
            "wave": [wave(STEP_S), wave(STEP_S / 20.0)],
            "freezing": [
                freezing(0.0, &thicknesses(0.008, 1.0, CELLS), STEP_S, 96),
                freezing(0.0, &[0.01; CELLS], STEP_S / 100.0, 12),
                freezing(2.0, &thicknesses(0.008, 1.0, CELLS), STEP_S, 48),
            ],
            "losing": [losing(STEP_S), losing(STEP_S / 100.0)],
        },
    });
    println!("{}", serde_json::to_string(&document)?);
    Ok(())
}

/// A table by columns.
fn table<const N: usize>(names: [&str; N], rows: &[[f64; N]]) -> Value {
    let column = |i: usize| rows.iter().map(|row| row[i]).collect::<Vec<_>>();
    names.iter().enumerate().map(|(i, name)| ((*name).to_owned(), json!(column(i)))).collect()
}

/// From `first` to `last` in steps of `step`, both ends included.
fn steps(first: f64, last: f64, step: f64) -> impl Iterator<Item = f64> + Clone {
    let count = ((last - first) / step).round() as i32;
    (0..=count).map(move |i| first + step * f64::from(i))
}

fn saturation() -> Value {
    let rows: Vec<_> = steps(-30.0, 45.0, 0.5)
        .map(|t| [t, saturation_over_water_kpa(t), saturation_over_ice_kpa(t)])
        .collect();
    table(["air_c", "over_water_kpa", "over_ice_kpa"], &rows)
}

/// Relative humidity is over water at every temperature.
fn moist() -> Value {
    let rows: Vec<_> = [0.0, 1500.0]
        .into_iter()
        .flat_map(|z| steps(-30.0, 45.0, 2.5).map(move |t| (z, t)))
        .flat_map(|(z, t)| steps(0.05, 1.0, 0.05).map(move |rh| (z, t, rh)))
        .map(|(z, t, rh)| {
            let (p, e) = (pressure_kpa(z), rh * saturation_over_water_kpa(t));
            [t, rh, e, p, dew_point_c(e), frost_point_c(e), wet_bulb_c(t, e, p)]
        })
        .collect();
    let names = [
        "air_c",
        "humidity",
        "vapour_kpa",
        "pressure_kpa",
        "dew_point_c",
        "frost_point_c",
        "wet_bulb_c",
    ];
    table(names, &rows)
}

fn pressure() -> Value {
    let rows: Vec<_> = steps(-400.0, 4000.0, 100.0).map(|z| [z, pressure_kpa(z)]).collect();
    table(["elevation_m", "pressure_kpa"], &rows)
}

fn garden((latitude_deg, longitude_deg): (f64, f64), elevation_m: f64) -> Place {
    Place { latitude_deg, longitude_deg, elevation_m }
}

/// Every 31 hours, so that all hours of the day come round.
fn positions() -> Value {
    let mut rows = Vec::new();
    for at in GARDENS {
        let place = garden(at, 300.0);
        for second in (0..DAYS * DAY_S).step_by(31 * HOUR_S as usize) {
            let moment = Moment(YEAR_2020 + second);
            let (zenith, azimuth) = sun::position(&place, moment)
                .map_or((f64::NAN, f64::NAN), |p| (p.zenith_deg, p.azimuth_deg));
            rows.push([
                place.latitude_deg,
                place.longitude_deg,
                place.elevation_m,
                moment.0 as f64,
                zenith,
                azimuth,
            ]);
        }
    }
    let names =
        ["latitude_deg", "longitude_deg", "elevation_m", "unix_s", "zenith_deg", "azimuth_deg"];
    table(names, &rows)
}

/// Every 29 days: rising after midnight of the mean sun, falling after its noon.
fn crossings(altitude_deg: f64, falling: bool) -> Value {
    let mut rows = Vec::new();
    for at in GARDENS {
        let place = garden(at, 0.0);
        for day in (0..DAYS).step_by(29) {
            let midnight = YEAR_2020 + day * DAY_S - (place.longitude_deg * 240.0) as i64;
            let from = Moment(midnight + if falling { DAY_S / 2 } else { 0 });
            let found = sun::next_crossing(&place, from, altitude_deg, falling)
                .map_or(f64::NAN, |m| m.0 as f64);
            let (latitude, longitude) = at;
            rows.push([latitude, longitude, from.0 as f64, altitude_deg, found]);
        }
    }
    table(["latitude_deg", "longitude_deg", "from_unix_s", "altitude_deg", "unix_s"], &rows)
}

fn sunlight() -> Value {
    let rows: Vec<_> = steps(0.0, 100.0, 0.25).map(|z| [z, clear_sky_shortwave_w_m2(z)]).collect();
    table(["zenith_deg", "sunlight_w_m2"], &rows)
}

/// Clear-sky sunlight of whole days, the 15th or so of each month of 2025, by steps of five minutes.
fn day_sums() -> Value {
    const YEAR_2025: i64 = YEAR_2020 + 1827 * DAY_S;
    let mut rows = Vec::new();
    for latitude in steps(-60.0, 65.0, 5.0) {
        let place = garden((latitude, 0.0), 0.0);
        for month in 0..12 {
            let day = 14 + (f64::from(month) * 30.44) as i64;
            let midnight = Moment(YEAR_2025 + day * DAY_S);
            let sum: f64 = (0..288)
                .map(|i| midnight.plus_seconds(300 * i + 150))
                .filter_map(|at| sun::position(&place, at))
                .map(|p| 300.0 * clear_sky_shortwave_w_m2(p.zenith_deg))
                .sum();
            rows.push([latitude, (day + 1) as f64, sum / 1e6]);
        }
    }
    table(["latitude_deg", "day_of_year", "sunlight_mj_m2"], &rows)
}

fn sky() -> Value {
    let rows: Vec<_> = steps(-10.0, 30.0, 2.5)
        .flat_map(|t| steps(0.3, 1.0, 0.1).map(move |rh| (t, rh)))
        .map(|(t, rh)| {
            let e = rh * saturation_over_water_kpa(t);
            [t, e, clear_sky_longwave_w_m2(t, e) / emission(t).0]
        })
        .collect();
    table(["air_c", "vapour_kpa", "emissivity"], &rows)
}

/// Conductivity of the trial soil, W m⁻¹ K⁻¹.
const CONDUCTIVITY: f64 = 1.2;
/// Heat capacity of the trial soil, J m⁻³ K⁻¹.
const CAPACITY: f64 = 2.0e6;
/// Water of the trial soil, kg/m³.
const WATER: f64 = 300.0;

/// The trial soil, and the depth of the middle of each cell.
fn trial_soil(thickness: &[f64], water: f64) -> ([Cell<f64>; CELLS], [f64; CELLS]) {
    let cells = std::array::from_fn(|i| Cell {
        thickness_m: thickness[i],
        conductivity: CONDUCTIVITY,
        capacity: CAPACITY,
        water_kg_m2: water * thickness[i],
    });
    let middles = std::array::from_fn(|i| thickness[..i].iter().sum::<f64>() + 0.5 * thickness[i]);
    (cells, middles)
}

/// Moves the column on; after each full hour calls `seen` with the second, the surface and the column.
fn run(
    (cells, start_c): ([Cell<f64>; CELLS], [f64; CELLS]),
    step_s: f64,
    hours: u32,
    surface_c: impl Fn(f64, &Response<f64>) -> f64,
    mut seen: impl FnMut(f64, f64, &ColumnState<f64>),
) {
    let column = Column::new(cells, step_s);
    let mut state = ColumnState { temperature_c: start_c, ice_kg_m2: [0.0; CELLS] };
    let per_hour = (HOUR_S as f64 / step_s).round() as u32;
    for step in 1..=hours * per_hour {
        let second = f64::from(step) * step_s;
        let mut surface = f64::NAN;
        column.drive(&mut state, |response| {
            surface = surface_c(second, response);
            surface
        });
        if step % per_hour == 0 {
            seen(second, surface, &state);
        }
    }
}

/// Five days of a daily sine at the surface, begun on the analytic wave so that nothing has to die away.
fn wave(step_s: f64) -> Value {
    let (mean, amplitude, period) = (10.0, 8.0, DAY_S as f64);
    let omega = std::f64::consts::TAU / period;
    let thickness = thicknesses(0.008, 1.0, CELLS);
    let (cells, middles) = trial_soil(&thickness, 0.0);
    let damping = damping_depth_m(CONDUCTIVITY / CAPACITY, period);
    let start = middles.map(|z| mean - amplitude * (-z / damping).exp() * (z / damping).sin());
    let mut rows = Vec::new();
    let surface = |second: f64, _: &Response<f64>| mean + amplitude * (omega * second).sin();
    run((cells, start), step_s, 120, surface, |second, _, state| {
        for (z, t) in middles.iter().zip(state.temperature_c) {
            rows.push([second, *z, t]);
        }
    });
    json!({
        "conductivity_w_m_k": CONDUCTIVITY,
        "capacity_j_m3_k": CAPACITY,
        "mean_c": mean,
        "amplitude_k": amplitude,
        "period_s": period,
        "step_s": step_s,
        "thickness_m": thickness,
        "start_c": start,
        "table": table(["second", "depth_m", "soil_c"], &rows),
    })
}

/// Wet soil, all at `start_c`, under a surface held at −5 °C from the start.
fn freezing(start_c: f64, thickness: &[f64], step_s: f64, hours: u32) -> Value {
    let surface_c = -5.0;
    let (cells, middles) = trial_soil(thickness, WATER);
    let mut rows = Vec::new();
    let start = (cells, [start_c; CELLS]);
    run(
        start,
        step_s,
        hours,
        |_, _| surface_c,
        |second, _, state| {
            for ((z, t), ice) in middles.iter().zip(state.temperature_c).zip(state.ice_kg_m2) {
                rows.push([second, *z, t, ice]);
            }
        },
    );
    json!({
        "conductivity_w_m_k": CONDUCTIVITY,
        "capacity_j_m3_k": CAPACITY,
        "water_kg_m3": WATER,
        "surface_c": surface_c,
        "start_c": start_c,
        "step_s": step_s,
        "thickness_m": thickness,
        "table": table(["second", "depth_m", "soil_c", "ice_kg_m2"], &rows),
    })
}

/// Wet soil at 0 °C whose surface loses as much heat as a clear night takes.
fn losing(step_s: f64) -> Value {
    let loss_w_m2 = 60.0;
    let thickness = thicknesses(0.008, 1.0, CELLS);
    let (cells, _) = trial_soil(&thickness, WATER);
    let mut rows = Vec::new();
    let surface = |_, response: &Response<f64>| (-loss_w_m2 - response.at_zero) / response.slope;
    run((cells, [0.0; CELLS]), step_s, 12, surface, |second, surface_c, state| {
        rows.push([second, surface_c, state.ice_kg_m2.iter().sum()]);
    });
    json!({
        "conductivity_w_m_k": CONDUCTIVITY,
        "capacity_j_m3_k": CAPACITY,
        "water_kg_m3": WATER,
        "loss_w_m2": loss_w_m2,
        "start_c": 0.0,
        "step_s": step_s,
        "thickness_m": thickness,
        "table": table(["second", "surface_c", "ice_kg_m2"], &rows),
    })
}
