//! Ninety years of daily minima: the file read, and all frost dates at five thresholds with their bootstrap.
//!
//! Reads the folder of measured data that the tests read; without it, a made record of the same length.

use criterion::{Criterion, criterion_group, criterion_main};
use weather::frost::FrostDates;
use weather::{StationRecord, station};

const FILE: &str = "../../../shared/data/stations/GHCN_USW00014839_Milwaukee_1938-2026.csv";
const THRESHOLDS_C: [f64; 5] = [2.2, 0.0, -2.2, -4.4, -6.7];
const PS: [f64; 3] = [0.1, 0.5, 0.9];
const DRAWS: usize = 200;

fn bytes() -> Vec<u8> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(FILE);
    std::fs::read(path).unwrap_or_else(|_| {
        eprintln!("the measured record is absent: a made one of the same length is read");
        made()
    })
}

fn made() -> Vec<u8> {
    let mut csv = String::from("year,month,day,TMAX,TMIN\n");
    for (i, year) in (1938..2026).enumerate() {
        for day in 0..365 {
            let mean = 50.0 - 25.0 * (f64::from(day - 20) / 365.0 * std::f64::consts::TAU).cos();
            let low = mean - 8.0 + f64::from((day * 7919 + i as i32 * 31) % 23);
            csv += &format!(
                "{year},{:02},{:02},{:.2},{low:.2}\n",
                day / 31 + 1,
                day % 28 + 1,
                low + 18.0
            );
        }
    }
    csv.into_bytes()
}

fn all_dates(record: &StationRecord) -> f64 {
    let mut sum = 0.0;
    for threshold in THRESHOLDS_C {
        let dates = FrostDates::from_record(record, threshold, 42.955);
        for d in [&dates.last_spring, &dates.first_autumn] {
            sum += d.trend().map_or(0.0, |t| t.per_decade);
            sum += d.intervals(&PS, DRAWS, 1).into_iter().flatten().map(|i| i.low).sum::<f64>();
        }
        sum +=
            dates.season.intervals(&PS, DRAWS, 1).into_iter().flatten().map(|i| i.low).sum::<f64>();
    }
    sum
}

fn frost_dates(c: &mut Criterion) {
    let bytes = bytes();
    let mut group = c.benchmark_group("ninety years");
    group.sample_size(30);
    group.bench_function("read", |b| b.iter(|| station::read(&bytes).map(|r| r.tally.without_min)));
    let Ok(record) = station::read(&bytes) else { return };
    group.bench_function("frost dates at five thresholds", |b| {
        b.iter(|| THRESHOLDS_C.map(|t| FrostDates::from_record(&record, t, 42.955).season.mean()));
    });
    group.bench_function("with trends and a bootstrap of 200", |b| b.iter(|| all_dates(&record)));
    group.bench_function("read and all of it", |b| {
        b.iter(|| station::read(&bytes).map(|r| all_dates(&r)));
    });
    group.finish();
}

criterion_group!(benches, frost_dates);
criterion_main!(benches);
