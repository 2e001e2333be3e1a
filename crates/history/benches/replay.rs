//! Past seasons of the demonstration garden: one block of two and of sixteen years, weather, nights and every policy.

use criterion::{Criterion, criterion_group, criterion_main};
use history::constants::ERROR_DRAWS;
use history::replay::run_batch;
use history::years::{Simulation, growing_season};

/// Invented days: a yearly wave with a few days' weather on it.
fn record() -> Option<weather::StationRecord> {
    let mut csv = String::from("date,tmin_c,tmax_c\n");
    for n in 0..18 * 365 {
        let date = weather::station::calendar::date_of(7305 + n);
        let wave = -(f64::from(n - 20) / 365.25 * std::f64::consts::TAU).cos();
        let low = 3.0 + 14.0 * wave + 4.0 * (f64::from(n) * 0.9).sin();
        csv += &format!("{date},{low:.1},{:.1}\n", low + 12.0);
    }
    weather::station::read(csv.as_bytes()).ok()
}

fn season(c: &mut Criterion) {
    let garden = garden::file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden;
    let (Some(garden), Some(record)) = (garden, record()) else { return };
    let stands = growing_season::by_hardiness(&garden, &record);
    let mut group = c.benchmark_group("season");
    group.sample_size(10);
    for last in [1991, 2005] {
        let Ok(simulation) = Simulation::new(&garden, &record, &stands, 1990..=last, 1) else {
            return;
        };
        let name = format!("12 beds, every cover, {} years", simulation.years.len());
        group.bench_function(name, |b| {
            b.iter(|| {
                simulation
                    .batches()
                    .map(|y| run_batch(&simulation, y, ERROR_DRAWS, &|| ()).is_ok())
                    .collect::<Vec<_>>()
            });
        });
    }
    group.finish();
}

criterion_group!(benches, season);
criterion_main!(benches);
