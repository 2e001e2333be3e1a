//! The damage curve against its worked example.

use evening::harm::{HalfHour, share_lost, steepness};
use garden::crops::ColdLimits;

fn limits(t10_f: f64, t90_f: f64) -> ColdLimits {
    let c = |f: f64| (f - 32.0) / 1.8;
    ColdLimits { t10_c: c(t10_f), t90_c: c(t90_f), source: "test" }
}

/// Logistic through T10 and T90 (WSU apple full bloom, 28/25 °F): T50 −3.06 °C, k 2.637 per K (computed).
#[test]
fn the_worked_logistic_example_is_met() {
    let apple = limits(28.0, 25.0);
    assert!((steepness(&apple) - 2.637).abs() < 1e-3);
    assert!((share_lost(&apple, -3.0556) - 0.5).abs() < 1e-3);
    assert!((share_lost(&apple, apple.t10_c) - 0.1).abs() < 1e-9);
    assert!((share_lost(&apple, apple.t90_c) - 0.9).abs() < 1e-9);
}

#[test]
fn a_half_hour_is_three_steps() {
    let mut h = HalfHour::<f64>::new();
    for t in [1.0, -5.0, 1.0, 1.0] {
        h.push(t);
    }
    assert!((h.coldest + 1.0).abs() < 1e-12);
}
