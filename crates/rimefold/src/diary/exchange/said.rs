//! Plans, and what they said, as flat rows.

use evening::report::Spread;
use serde::{Deserialize, Serialize};

use crate::diary::entry::Wrong;
use crate::diary::exchange::notes::{id, moment};
use crate::diary::exchange::rows::Flat;
use crate::diary::kept::{Plan, Said};
use crate::diary::stamp;

/// One plan.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlanRow {
    id: String,
    asked_at: String,
    written: String,
    night: String,
    dark: String,
    sunrise: String,
    program: String,
    model: u32,
    forecast: Option<String>,
    forecast_low_c: f64,
    garden_low_p10_c: f64,
    garden_low_p50_c: f64,
    garden_low_p90_c: f64,
    wind_m_s: Option<f64>,
    cloud: Option<f64>,
    clear_calm: bool,
    tasks: u32,
    report: String,
}

impl Flat for PlanRow {
    type Item = Plan;
    const FILE: &'static str = "plans.csv";
    const COLUMNS: &'static [&'static str] = &[
        "id",
        "asked_at",
        "written",
        "night",
        "dark",
        "sunrise",
        "program",
        "model",
        "forecast",
        "forecast_low_c",
        "garden_low_p10_c",
        "garden_low_p50_c",
        "garden_low_p90_c",
        "wind_m_s",
        "cloud",
        "clear_calm",
        "tasks",
        "report",
    ];

    fn of(p: &Plan) -> Self {
        Self {
            id: p.id.to_string(),
            asked_at: stamp::write(p.asked_at),
            written: stamp::write(p.written),
            night: p.night.to_string(),
            dark: stamp::write(p.dark),
            sunrise: stamp::write(p.sunrise),
            program: p.program.clone(),
            model: p.model,
            forecast: p.forecast.clone(),
            forecast_low_c: p.forecast_low_c,
            garden_low_p10_c: p.garden_low_c.p10,
            garden_low_p50_c: p.garden_low_c.p50,
            garden_low_p90_c: p.garden_low_c.p90,
            wind_m_s: p.wind_m_s,
            cloud: p.cloud,
            clear_calm: p.clear_calm,
            tasks: p.tasks,
            report: p.report.clone(),
        }
    }

    fn item(self) -> Result<Plan, Wrong> {
        let night = self.night.parse();
        let night =
            night.map_err(|_| Wrong::new("night", &self.night, "a date such as 2027-05-14"))?;
        if serde_json::from_str::<serde_json::Value>(&self.report).is_err() {
            return Err(Wrong::new("report", "a text", "JSON"));
        }
        within("cloud", self.cloud)?;
        if self.model == 0 {
            return Err(Wrong::new("model", 0, "1 or more"));
        }
        Ok(Plan {
            id: id("id", Some(&self.id))?,
            asked_at: moment("asked_at", &self.asked_at)?,
            written: moment("written", &self.written)?,
            night,
            dark: moment("dark", &self.dark)?,
            sunrise: moment("sunrise", &self.sunrise)?,
            program: self.program,
            model: self.model,
            forecast: self.forecast,
            forecast_low_c: self.forecast_low_c,
            garden_low_c: Spread {
                p10: self.garden_low_p10_c,
                p50: self.garden_low_p50_c,
                p90: self.garden_low_p90_c,
            },
            wind_m_s: self.wind_m_s,
            cloud: self.cloud,
            clear_calm: self.clear_calm,
            tasks: self.tasks,
            report: self.report,
        })
    }
}

/// What a plan said of one bed and way.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SaidRow {
    plan: String,
    bed: String,
    way: u32,
    cover: Option<String>,
    layers: u32,
    pieces: u32,
    chosen: bool,
    limit_c: Option<f64>,
    chance_of_harm: f64,
    air_p10_c: f64,
    air_p50_c: f64,
    air_p90_c: f64,
    leaf_p10_c: f64,
    leaf_p50_c: f64,
    leaf_p90_c: f64,
}

impl Flat for SaidRow {
    type Item = Said;
    const FILE: &'static str = "said.csv";
    const COLUMNS: &'static [&'static str] = &[
        "plan",
        "bed",
        "way",
        "cover",
        "layers",
        "pieces",
        "chosen",
        "limit_c",
        "chance_of_harm",
        "air_p10_c",
        "air_p50_c",
        "air_p90_c",
        "leaf_p10_c",
        "leaf_p50_c",
        "leaf_p90_c",
    ];

    fn of(s: &Said) -> Self {
        Self {
            plan: s.plan.to_string(),
            bed: s.bed.clone(),
            way: s.way,
            cover: s.cover.clone(),
            layers: s.layers,
            pieces: s.pieces,
            chosen: s.chosen,
            limit_c: s.limit_c,
            chance_of_harm: s.chance_of_harm,
            air_p10_c: s.air_low_c.p10,
            air_p50_c: s.air_low_c.p50,
            air_p90_c: s.air_low_c.p90,
            leaf_p10_c: s.leaf_low_c.p10,
            leaf_p50_c: s.leaf_low_c.p50,
            leaf_p90_c: s.leaf_low_c.p90,
        }
    }

    fn item(self) -> Result<Said, Wrong> {
        within("chance_of_harm", Some(self.chance_of_harm))?;
        if self.bed.is_empty() {
            return Err(Wrong::new("bed", "", "the name of a bed"));
        }
        Ok(Said {
            plan: id("plan", Some(&self.plan))?,
            bed: self.bed,
            way: self.way,
            cover: self.cover,
            layers: self.layers,
            pieces: self.pieces,
            chosen: self.chosen,
            limit_c: self.limit_c,
            chance_of_harm: self.chance_of_harm,
            air_low_c: Spread { p10: self.air_p10_c, p50: self.air_p50_c, p90: self.air_p90_c },
            leaf_low_c: Spread { p10: self.leaf_p10_c, p50: self.leaf_p50_c, p90: self.leaf_p90_c },
        })
    }
}

fn within(column: &'static str, share: Option<f64>) -> Result<(), Wrong> {
    match share {
        Some(share) if !(0.0..=1.0).contains(&share) => Err(Wrong::new(column, share, "0 to 1")),
        _ => Ok(()),
    }
}
