//! Bed-hours a second on one core: sixteen members side by side through a spring night, ten-minute steps.

mod spring;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::{Draws, Site, column};

fn bed_hours(c: &mut Criterion) {
    let (bed, night) = (spring::bed(), spring::night());
    let draws = Draws::<Lanes>::central(0.6);
    let column = column::build(&bed, &draws);
    let mut group = c.benchmark_group("bed-hours on one core");
    group.throughput(Throughput::Elements((spring::STEPS / 6 * WIDTH) as u64));
    for (name, cover) in &spring::covers() {
        let site = Site::new(&bed, cover.as_ref(), &column, &draws);
        group.bench_function(*name, |b| b.iter(|| spring::through(&site, &night)));
    }
    group.finish();
}

criterion_group!(benches, bed_hours);
criterion_main!(benches);
