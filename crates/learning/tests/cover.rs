//! Readings under covers.

use learning::cover::{CoverLesson, CoverNight};

/// Worked by hand: ten nights of today at 1 K, weights (8 + 1)/8 each, variance 1/(10 · 9/8) + 0.57²; a slip of 18 K among them
/// moves the mean by less than a fifth of a kelvin; four nights teach nothing.
#[test]
fn a_cover_is_learned_and_a_slip_weighs_little() {
    let night = |off_k| CoverNight { day: 0.0, off_k };
    let mut nights = vec![night(1.0); 10];
    let sound = CoverLesson::from_nights(&nights, 0.0).unwrap();
    assert!((sound.off_k - 1.0).abs() < 1e-12 && sound.nights == 10);
    assert!((sound.variance_k2 - (8.0 / 90.0 + 0.57 * 0.57)).abs() < 1e-12);
    nights[3].off_k = 18.0;
    let slip = CoverLesson::from_nights(&nights, 0.0).unwrap();
    assert!((slip.off_k - 1.0).abs() < 0.2, "{}", slip.off_k);
    assert!(CoverLesson::from_nights(&nights[..4], 0.0).is_none());
    let old = CoverLesson::from_nights(&nights, 600.0).unwrap();
    assert!(old.variance_k2 > slip.variance_k2);
}
