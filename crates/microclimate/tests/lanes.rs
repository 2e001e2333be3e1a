//! The arithmetic: close to the platform's, and the same alone as among eight.

use microclimate::real::{Lanes, Real};
use proptest::prelude::*;

proptest! {
    #[test]
    fn exp_is_close_to_the_platforms(x in -700.0..700.0_f64) {
        let (ours, theirs) = (Real::exp(x), f64::exp(x));
        prop_assert!((ours / theirs - 1.0).abs() < 1e-9, "{x} {ours} {theirs}");
    }

    #[test]
    fn ln_is_close_to_the_platforms(e in -690.0..690.0_f64) {
        let x = e.exp();
        let (ours, theirs) = (Real::ln(x), f64::ln(x));
        prop_assert!((ours - theirs).abs() < 1e-9, "{x} {ours} {theirs}");
    }

    #[test]
    fn powers_and_cube_roots_are_close(x in 1e-9..1e9_f64, p in 0.05..3.0_f64) {
        prop_assert!((Real::powf(x, p) / f64::powf(x, p) - 1.0).abs() < 4e-9);
        prop_assert!((Real::cbrt(x) / f64::cbrt(x) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_member_gives_the_same_bits_alone_and_among_eight(x in prop::array::uniform8(1e-3..600.0_f64)) {
        let all = Lanes(x);
        let results = [all.exp(), all.ln(), all.powf(0.49), all.cbrt(), all.sqrt()];
        for (i, &x) in x.iter().enumerate() {
            let alone = [Real::exp(x), Real::ln(x), Real::powf(x, 0.49), Real::cbrt(x), x.sqrt()];
            for (a, b) in results.iter().zip(alone) {
                prop_assert_eq!(a.lane(i).to_bits(), b.to_bits());
            }
        }
    }
}

#[test]
fn clamping_keeps_between_its_bounds() {
    for (x, kept) in [(-3.0, -1.0), (-1.0, -1.0), (0.5, 0.5), (2.0, 2.0), (7.0, 2.0)] {
        assert_eq!(Real::clamp(x, -1.0, 2.0).to_bits(), f64::to_bits(kept));
        assert_eq!(Lanes([x; 8]).clamp(-1.0, 2.0), Lanes([kept; 8]));
    }
}

#[test]
fn nan_is_never_hidden() {
    let mut x = [1.0; 8];
    x[3] = f64::NAN;
    assert!(Lanes(x).max_lane().is_nan());
    assert!(!Lanes(x).all_finite());
    assert!(Lanes(x).clamp(0.0, 2.0).lane(3).is_nan());
}
