//! Speed of learning.

use criterion::{Criterion, criterion_group, criterion_main};
use learning::{Lessons, Night, Prior};

/// Three years of nightly readings.
fn three_years(c: &mut Criterion) {
    let prior = Prior { clear_k: -0.7, clear_sigma_k: 1.0 };
    let night = |day: i32| Night {
        day: f64::from(day),
        error_k: (f64::from(day) * 0.7).sin() * 2.0 - 1.0,
        clear: f64::from(day % 5) / 4.0,
        sigma_k: 1.7,
    };
    let nights: Vec<Night> = (0..1096).map(night).collect();
    c.bench_function("three years of nightly readings", |b| {
        b.iter(|| Lessons::from_nights(&prior, &nights).outlook(1096.0, 0.5, 1.7));
    });
}

criterion_group!(benches, three_years);
criterion_main!(benches);
