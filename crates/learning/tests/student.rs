//! Student's t against tables.

use learning::student::{cdf, ln_density};

/// Quantiles of eight degrees of freedom as every table has them (from memory): 0.706, 1.397, 1.860, 2.306, 3.355.
#[test]
fn the_distribution_is_the_tabled_one() {
    for (t, p) in [(0.706, 0.75), (1.397, 0.90), (1.860, 0.95), (2.306, 0.975), (3.355, 0.995)] {
        assert!((cdf(t) - p).abs() < 3e-4, "{t}: {}", cdf(t));
        assert!((cdf(t) + cdf(-t) - 1.0).abs() < 1e-12);
    }
}

/// The density is the slope of the distribution.
#[test]
fn density_and_distribution_agree() {
    for t in [-3.0, -0.5, 0.0, 1.0, 4.0] {
        let slope = (cdf(t + 1e-5) - cdf(t - 1e-5)) / 2e-5;
        assert!((ln_density(t, 1.0).exp() - slope).abs() < 1e-7, "{t}");
        assert!((ln_density(2.0 * t, 4.0).exp() * 2.0 - slope).abs() < 1e-7, "{t}");
    }
}
