//! Reads a daily record and finds its frost dates at five thresholds many times; prints JSON, the best times in ms. The other
//! half: `bench/frost_dates.py` does the same by pandas and Polars. Argument: the file.

use std::error::Error;
use std::hint::black_box;
use std::time::Instant;

use weather::frost::FrostDates;
use weather::station;

const THRESHOLDS_C: [f64; 5] = [2.2, 0.0, -2.2, -4.4, -6.7];
/// The best of so many counts.
const REPEATS: usize = 20;

/// The least time of some runs, ms.
fn best_ms<T>(mut run: impl FnMut() -> T) -> f64 {
    (0..REPEATS).fold(f64::INFINITY, |best, _| {
        let begun = Instant::now();
        black_box(run());
        best.min(begun.elapsed().as_secs_f64() * 1e3)
    })
}

fn main() -> Result<(), Box<dyn Error>> {
    let file = std::env::args().nth(1).ok_or("which file?")?;
    let bytes = std::fs::read(&file)?;
    let record = station::read(&bytes)?;
    let read = best_ms(|| std::fs::read(&file).map(|bytes| station::read(&bytes).is_ok()));
    let dates =
        best_ms(|| THRESHOLDS_C.map(|t| FrostDates::from_record(&record, t, 42.955).season.mean()));
    println!("{}", serde_json::json!({ "read_ms": read, "dates_ms": dates }));
    Ok(())
}
