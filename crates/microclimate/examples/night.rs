//! Runs one spring night of sixteen members many times under three covers and prints, as JSON, bed-hours a second on this
//! core and the temperatures at its end. The other half: `bench/rivals.py` runs the same night in numpy and in numba.

#[path = "../benches/spring/mod.rs"]
mod spring;

use std::error::Error;
use std::hint::black_box;
use std::time::{Duration, Instant};

use microclimate::lanes::{Lanes, WIDTH};
use microclimate::real::Real;
use microclimate::{Draws, Forcing, Site, column};
use serde_json::{Value, json};

use spring::{STEPS, through};

/// The best of so many rounds counts.
const ROUNDS: usize = 7;
/// Each round repeats the night at least this long.
const ROUND: Duration = Duration::from_millis(300);

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
    let (bed, night) = (spring::bed(), spring::night());
    let draws = Draws::<Lanes>::central(0.6);
    let column = column::build(&bed, &draws);
    let mut told = Vec::new();
    for (name, cover) in &spring::covers() {
        let site = Site::new(&bed, cover.as_ref(), &column, &draws);
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
