//! Quantiles of samples too small to have many.

use quantities::quantile;

/// Type 7 of 1, 2, 4: at 0.25 halfway from 1 to 2; the standard deviation of 1, 2, 3 is 1 (by hand).
#[test]
fn quantiles_of_small_samples() {
    assert_eq!(quantile::type_7(&[], 0.5), None);
    assert_eq!(quantile::type_7(&[3.0], 0.9), Some(3.0));
    assert_eq!(quantile::weibull(&[1.0, 2.0, 3.0], 0.25), Some(1.0));
    assert_eq!(quantile::weibull(&[1.0, 2.0, 3.0], 0.01), Some(1.0));
    assert_eq!(quantile::type_7(&[1.0, 2.0, 4.0], 0.25), Some(1.5));
    assert_eq!(quantile::standard_deviation(&[1.0, 2.0, 3.0]), Some(1.0));
    assert_eq!(quantile::standard_deviation(&[3.0]), None);
}
