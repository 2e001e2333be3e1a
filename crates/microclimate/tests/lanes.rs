//! The arithmetic: close to the platform's, and the same alone as among others.

use microclimate::lanes::Abreast;
use microclimate::real::Real;
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
    fn single_precision_is_close_to_the_platforms(x in 1e-6..80.0_f64, p in 0.05..1.5_f64) {
        let one = Abreast::<1>::splat(x);
        let x = one.lane(0);
        let near = |ours: Abreast<1>, theirs: f64, share: f64| (ours.lane(0) - theirs).abs() <= share * theirs.abs();
        // Single precision carries 6e-8; argument reduction loses what e^x makes of the last digit of x.
        prop_assert!(near(one.exp(), x.exp(), 3e-7 * (1.0 + x)));
        prop_assert!(near((-one).exp(), (-x).exp(), 3e-7 * (1.0 + x)));
        prop_assert!((one.ln().lane(0) - x.ln()).abs() < 3e-7 * (1.0 + x.ln().abs()));
        prop_assert!(near(one.cbrt(), x.cbrt(), 3e-7));
        prop_assert!(near(one.powf(p), x.powf(p), 3e-6));
    }

    #[test]
    fn a_member_gives_the_same_bits_alone_and_among_others(x in prop::array::uniform16(1e-3..80.0_f32)) {
        let all = Abreast(x);
        let of = |x: &dyn Fn(usize) -> f64| [x(0), x(1), x(2), x(3), x(4)];
        let results = [all.exp(), all.ln(), all.powf(0.49), all.cbrt(), all.sqrt()];
        for (i, &x) in x.iter().enumerate() {
            let one = Abreast([x]);
            let alone = [one.exp(), one.ln(), one.powf(0.49), one.cbrt(), one.sqrt()];
            prop_assert_eq!(of(&|k| results[k].lane(i)), of(&|k| alone[k].lane(0)));
        }
    }

    #[test]
    fn the_greatest_member_is_found(x in prop::array::uniform16(-1e6..1e6_f32)) {
        let greatest = x.iter().copied().fold(f32::MIN, f32::max);
        prop_assert_eq!(Abreast(x).max_lane(), f64::from(greatest));
    }
}

#[test]
fn clamping_keeps_between_its_bounds() {
    for (x, kept) in [(-3.0, -1.0), (-1.0, -1.0), (0.5, 0.5), (2.0, 2.0), (7.0, 2.0)] {
        assert_eq!(Real::clamp(x, -1.0, 2.0).to_bits(), f64::to_bits(kept));
        assert_eq!(Abreast::<8>::splat(x).clamp(-1.0, 2.0), Abreast::<8>::splat(kept));
    }
}

#[test]
fn nan_is_never_hidden() {
    for at in 0..16 {
        let mut x = [1.0; 16];
        x[at] = f32::NAN;
        assert!(Abreast(x).max_lane().is_nan());
        assert!(!Abreast(x).all_finite());
        assert!(Abreast(x).clamp(0.0, 2.0).lane(at).is_nan());
    }
}
