//! Runs the scenarios of a file with steps of as many seconds as the second argument says and prints every temperature
//! at every whole hour as JSON.
//!
//! The other half of a check: a slow second model in continuous time, `checks/second`, runs the same file.

mod scenario;

use std::error::Error;

use microclimate::State;
use microclimate::parameters::STEP_S;
use serde_json::{Value, json};

fn hour(state: &State<f64>) -> Value {
    json!({
        "ground": state.ground_c, "leaf": state.leaf_c, "air": state.air_c,
        "inner": state.inner_c, "outer": state.outer_c, "vapour": state.vapour_kpa,
        "leaf_water": state.leaf_water, "cover_water": state.cover_water,
        "soil": state.soil.temperature_c, "ice": state.soil.ice_kg_m2,
    })
}

fn main() -> Result<(), Box<dyn Error>> {
    let path = std::env::args().nth(1).ok_or("usage: five_days SCENARIOS.json STEP_S")?;
    let step_s: f64 = std::env::args().nth(2).map_or(Ok(STEP_S), |s| s.parse())?;
    let all: Vec<Value> = scenario::courses(&std::fs::read_to_string(path)?, step_s)?
        .iter()
        .map(|c| {
            let hours: Vec<Value> = c.hours.iter().map(hour).collect();
            json!({ "name": c.name, "depths_m": c.depths_m, "hours": hours })
        })
        .collect();
    println!("{}", json!({ "step_s": step_s, "scenarios": all }));
    Ok(())
}
