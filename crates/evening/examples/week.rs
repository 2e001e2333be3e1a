//! What the plan of the nights ahead costs against beds and nights: `cargo run --release -p evening --example week`.
//!
//! The demonstration garden, its beds and its stock once, five and twenty times over; clear nights of −2 °C.
#![expect(clippy::expect_used, reason = "an example says what went wrong by failing")]

use std::time::Instant;

use evening::learned::Learned;
use evening::week::{Question, Settings, plan, simulate};
use garden::lying::GardenState;
use garden::{Garden, file};
use quantities::Moment;

/// 14 May 2027, 16:00 in Chicago.
const ASKED: Moment = Moment(1_810_328_400);

fn garden(times: usize) -> Garden {
    let one = file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden;
    let mut garden = one.expect("reads");
    let beds = garden.beds.clone();
    let n = times as u32;
    garden.beds = (0..times).flat_map(|_| beds.clone()).collect();
    for sheet in &mut garden.stock.sheets {
        sheet.count *= n;
    }
    garden.stock.pins *= n;
    garden.stock.clips *= n;
    garden.stock.loose_mulch_m3 *= times as f64;
    garden.labour.people *= n;
    garden
}

fn forecast(nights: usize) -> weather::Forecast {
    let mut csv = String::from(
        "# zone = America/Chicago\ntime,air_temperature_c,dew_point_c,wind_speed_m_s,cloud_pct\n",
    );
    for hour in 12..24 * nights + 13 {
        let angle = (hour as f64 - 15.0) / 12.0 * std::f64::consts::PI;
        let air = 5.0 + 7.0 * angle.cos();
        let (day, of_day) = (14 + hour / 24, hour % 24);
        csv += &format!("2027-05-{day:02}T{of_day:02}:00,{air:.1},-3.0,1.0,5\n");
    }
    weather::read(csv.as_bytes()).expect("reads")
}

fn main() {
    println!("beds nights  physics, s  in all, s  cost  gap, %  courses");
    for times in [1, 5, 20] {
        for nights in [1, 7] {
            let (garden, forecast) = (garden(times), forecast(nights));
            let lying = GardenState::of_file(&garden, ASKED);
            let question = Question {
                garden: &garden,
                state: &lying,
                forecast: &forecast,
                past: None,
                asked_at: ASKED,
                learned: Learned::default(),
            };
            let settings = Settings::default();
            let begun = Instant::now();
            simulate(&question, settings, &|_, _| ()).expect("simulated");
            let physics = begun.elapsed().as_secs_f64();
            let begun = Instant::now();
            let r = plan(&question, settings, &|_, _| ()).expect("a plan");
            let all = begun.elapsed().as_secs_f64();
            println!(
                "{:4} {:6}  {physics:10.2}  {all:9.2}  {:.0}  {:6.1}  {:7}",
                garden.beds.len(),
                r.nights.len(),
                r.proof.cost,
                100.0 * r.proof.gap,
                r.proof.courses
            );
        }
    }
}
