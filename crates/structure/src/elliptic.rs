//! Elliptic integrals by the arithmetic–geometric mean.

use std::f64::consts::FRAC_PI_2;

/// Steps of the mean: it converges quadratically, eight are more than enough for k up to 1 − 10⁻¹⁵.
const STEPS: usize = 8;

/// Complete integrals K and E, and what the incomplete ones need, for one modulus.
pub(crate) struct Elliptic {
    /// Complete integral of the first kind.
    pub first: f64,
    /// Complete integral of the second kind.
    pub second: f64,
    means: [f64; STEPS + 1],
    halves: [f64; STEPS + 1],
}

impl Elliptic {
    /// For modulus 0 ≤ k < 1; at k = 1 the first kind is infinite and the second 1.
    pub fn new(k: f64) -> Self {
        let (mut a, mut b) = (1.0, (1.0 - k * k).max(0.0).sqrt());
        let (mut means, mut halves) = ([1.0; STEPS + 1], [k; STEPS + 1]);
        let (mut sum, mut power) = (0.5 * k * k, 1.0);
        for n in 1..=STEPS {
            let c: f64 = 0.5 * (a - b);
            (a, b) = (0.5 * (a + b), (a * b).sqrt());
            (means[n], halves[n]) = (a, c);
            sum += power * c * c;
            power *= 2.0;
        }
        if k >= 1.0 {
            return Self { first: f64::INFINITY, second: 1.0, means, halves };
        }
        let first = FRAC_PI_2 / a;
        Self { first, second: first * (1.0 - sum), means, halves }
    }

    /// Amplitude φ with F(φ, k) = u, and E(φ, k).
    pub fn amplitude(&self, u: f64) -> (f64, f64) {
        let mut phi = self.means[STEPS] * u * 2f64.powi(STEPS as i32);
        let mut zeta = 0.0;
        for n in (1..=STEPS).rev() {
            let sine = phi.sin();
            zeta += self.halves[n] * sine;
            phi = 0.5 * (phi + (self.halves[n] / self.means[n] * sine).asin());
        }
        (phi, self.second / self.first * u + zeta)
    }
}
