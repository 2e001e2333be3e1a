//! The whole evening of the demonstration garden, and bed-hours per second.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use evening::{Settings, tonight};
use garden::lying::GardenState;
use quantities::Moment;

fn evening(c: &mut Criterion) {
    let garden = garden::file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden;
    let forecast = weather::read(include_bytes!("../../../demo/wisconsin/forecast.json")).ok();
    let past = weather::read(include_bytes!("../../../demo/wisconsin/past.csv")).ok();
    let (Some(garden), Some(forecast)) = (garden, forecast) else { return };
    let run = || {
        tonight(
            &garden,
            &GardenState::of_file(&garden, Moment(1_810_328_400)),
            &forecast,
            past.as_ref(),
            Moment(1_810_328_400),
            Settings::default(),
        )
    };
    let Ok(report) = run() else { return };
    let mut group = c.benchmark_group("evening");
    // Elements are bed-hours: elements per second is the figure to quote.
    group.throughput(Throughput::Elements(report.proof.bed_hours as u64));
    group.sample_size(20);
    group.bench_function("12 beds, every cover, 200 nights", |b| b.iter(run));
    group.finish();
}

criterion_group!(benches, evening);
criterion_main!(benches);
