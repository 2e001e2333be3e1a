//! What a thermometer in the garden is worth to the evening plan, where the forecast is for another city.
//!
//! `cargo run --release -p history --example thermometer` prints the table and fails when the page says otherwise;
//! `-- --write` writes it into the page. As `real_forecasts`, of which it takes every second city by name: twice the forecast
//! for the next city, once as it is and once moved by what the garden's own lows have taught by each evening.

#[path = "../real_forecasts/cities.rs"]
mod cities;

use std::collections::BTreeMap;
use std::error::Error;
use std::fmt::Write as _;
use std::path::PathBuf;
use std::process::ExitCode;

use history::replay::score::scores;
use history::replay::{Policy, Year};
use history::years::drawn_forecast::MadeForecasts;
use learning::{Lessons, Night, Prior};
use rayon::prelude::*;
use weather::error_model::sigma_air_k;

use cities::City;

/// Marks around the part of the page that this program writes.
const BEGIN: &str = "<!-- thermometer: written by `cargo run --release -p history --example thermometer -- --write` -->\n";
const END: &str = "<!-- end of thermometer -->";
const SEED: u64 = 1;
/// One city of so many.
const EVERY: usize = 2;
const NAMES: [&str; 3] =
    ["for the garden's own city", "for the next city", "for the next city, with a thermometer"];

fn main() -> Result<ExitCode, Box<dyn Error>> {
    let Some(_) = measured_data::folder("pairs") else { return Ok(ExitCode::SUCCESS) };
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..");
    let garden = std::fs::read_to_string(root.join("demo/wisconsin/garden.toml"))?;
    let garden = garden::file::read(&garden).garden.ok_or("the demonstration garden reads")?;
    let cities = cities::read()?;
    let taken: Vec<(usize, &City)> = cities.iter().enumerate().step_by(EVERY).collect();
    let each = taken.into_par_iter().map(|(i, city)| -> Result<[Year; 3], String> {
        let km = |c: &City| city.place.distance_km(&c.place);
        let others = cities.iter().filter(|c| c.name != city.name);
        let next = others.min_by(|a, b| km(a).total_cmp(&km(b))).ok_or("one city alone")?;
        let known = known(next, city);
        let taught = moved(next, &|day| known.get(&day).copied().unwrap_or(0.0));
        let of = |made| city.replay(&garden, i as i16, made, SEED);
        Ok([of(city.forecasts())?, of(next.forecasts())?, of(taught)?])
    });
    let mut years: [Vec<Year>; 3] = Default::default();
    for city in each.collect::<Result<Vec<_>, String>>()? {
        years.iter_mut().zip(city).for_each(|(all, year)| all.push(year));
    }
    let table = table(&years).ok_or("no cities")?;
    print!("{table}");
    let kept = measured_data::page::keep(BEGIN, END, &table)?;
    Ok(if kept { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// By evening, what a garden's lows up to then say of the forecasts for another city, K.
fn known(said: &City, garden: &City) -> BTreeMap<i32, f64> {
    let sigma_k = sigma_air_k(12.0);
    let mut lessons = Lessons::none(&Prior { clear_k: 0.0, clear_sigma_k: 0.4 });
    let mut known = BTreeMap::new();
    for (day, said) in &said.days.tonight {
        let number = f64::from(*day);
        if let Some(outlook) = lessons.outlook(number, 0.0, sigma_k) {
            known.insert(*day, outlook.mean_k());
        }
        // The low of the night that follows is filed under the next day.
        if let Some(low) = garden.days.low.get(&(day + 1)) {
            lessons.read(&Night { day: number, error_k: low - said, clear: 0.0, sigma_k });
        }
    }
    known
}

/// The forecasts of a city, moved by what is known on the evening of each day.
fn moved(said: &City, known_k: &dyn Fn(i32) -> f64) -> MadeForecasts {
    let told = |(day, from): (i32, i32)| {
        let of = |map: &BTreeMap<i32, f64>| map.get(&from).map(|t| t + known_k(from));
        (day, [of(&said.days.tonight), of(&said.days.tomorrow)])
    };
    MadeForecasts(City::laid_down().map(told).collect())
}

fn table(years: &[Vec<Year>; 3]) -> Option<String> {
    let mut out = format!(
        "{} cities. Money of a mean year; value: 0 the best of never, always and left on, 1 perfect foresight.\n\n\
         | forecast | lost | work | light | all | evenings | value |\n|---|--:|--:|--:|--:|--:|--:|\n",
        years[0].len()
    );
    for (name, years) in NAMES.iter().zip(years) {
        let scores = scores(years, SEED)?;
        let plan = scores.each.iter().find(|s| s.policy == Policy::Plan)?;
        let m = &plan.mean;
        let _ = writeln!(
            out,
            "| {name} | {:.0} | {:.0} | {:.0} | {:.0} | {:.0} | {:.2} |",
            m.loss,
            m.labour,
            m.dimness,
            m.loss + m.labour + m.dimness,
            m.evenings,
            plan.over_fixed?.value,
        );
    }
    Some(out)
}
