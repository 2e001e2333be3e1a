//! Years of nights lived through by the real watcher with a clock, a forecast, a thermometer, mail, power, and a disk that fail.
//!
//! `cargo run --release -p watch --example nights` prints how many frost nights were told in time, by what, how many false
//! alarms there were and how often a night was told of; it fails where a frost night passed without a word in time or a
//! warning that it could not be seen (unless the program itself was dead for hours), and where a message was lost or stands in the diary twice. `-- --years N` lives through
//! fewer, `-- --seed N` through others.
//!
//! Real: the lows and highs of Milwaukee, day by day, and all code that decides, keeps and sends. Invented: the errors of
//! forecasts (their spread by lead as `weather` has it), the course of the air between the two extremes, one bed with a limit
//! of -0.5 °C and a cover worth 3 K, the rates at which things fail (`faults.rs`), a grower who covers in two nights of three.

mod count;
mod faults;
mod house;
mod night;

use std::process::ExitCode;

use count::Count;
use rand::SeedableRng as _;
use rand_xoshiro::Xoshiro256PlusPlus;

/// The record and its years.
const RECORD: &str = "stations/GHCN_USW00014839_Milwaukee_1938-2026.csv";
const LAST_YEAR: i16 = 2024;
const YEARS: i16 = 51;
const SEED: u64 = 1;

fn main() -> Result<ExitCode, Box<dyn std::error::Error>> {
    let number = |flag: &str| {
        let mut given = std::env::args().skip_while(|a| a != flag).skip(1);
        given.next().and_then(|n| n.parse::<u64>().ok())
    };
    let years = number("--years").and_then(|n| i16::try_from(n).ok()).unwrap_or(YEARS);
    let seed = number("--seed").unwrap_or(SEED);
    let Some(bytes) = measured_data::file(RECORD) else { return Ok(ExitCode::SUCCESS) };
    let record = weather::station::read(&bytes)?;
    let of_year = |year: i16| {
        let mut random = Xoshiro256PlusPlus::seed_from_u64(seed << 16 | year.unsigned_abs() as u64);
        house::live_through(&record, year, &mut random)
    };
    let all: Vec<i16> = (LAST_YEAR - years + 1..=LAST_YEAR).collect();
    let mut total = Count::default();
    // Two at a time; each year has its own seed, so that nothing depends on that.
    for pair in all.chunks(2) {
        let counts = std::thread::scope(|scope| {
            let lived: Vec<_> = pair.iter().map(|y| scope.spawn(move || of_year(*y))).collect();
            lived.into_iter().map(|l| l.join()).collect::<Vec<_>>()
        });
        for count in counts {
            total.add(&count.map_err(|_| "a year broke off")?.map_err(|e| e.to_string())?);
        }
    }
    println!("{total}");
    Ok(if total.sound() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}
