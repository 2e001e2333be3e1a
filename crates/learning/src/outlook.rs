//! How far the next night will lie from its forecast: a mixture of the accounts.

use crate::belief::{Belief, STATES};
use crate::constants::{DEGREES_OF_FREEDOM, THERMOMETER_FAULT_SIGMA_K};
use crate::student;

/// What one account says.
#[derive(Clone, Debug)]
pub(crate) struct Part {
    weight: f64,
    error_scale: f64,
    sigma_k: f64,
    /// Of the difference on this night.
    middle_k: f64,
    doubt_k2: f64,
    /// Of a reading about it.
    noise_k2: f64,
    /// Of the two differences together, and what clear calm nights add.
    offset_k: f64,
    clear_k: f64,
    /// Lower triangular square root of the covariance of offset and clear.
    root: [f64; 3],
}

impl Part {
    pub fn new(weight: f64, belief: &Belief, clear: f64, sigma_k: f64) -> Self {
        let (middle_k, doubt_k2, _) = belief.difference(clear);
        let p = &belief.covariance;
        let offset = (p[0][0] + p[1][1] + 2.0 * p[0][1]).max(0.0);
        let both = p[0][2] + p[1][2];
        let first = offset.sqrt();
        let second = if first > 0.0 { both / first } else { 0.0 };
        let third = (p[2][2] - second * second).max(0.0).sqrt();
        debug_assert_eq!(belief.mean.len(), STATES);
        Self {
            weight,
            error_scale: belief.error_scale,
            sigma_k,
            middle_k,
            doubt_k2,
            noise_k2: belief.noise(sigma_k),
            offset_k: belief.mean[0] + belief.mean[1],
            clear_k: belief.mean[2],
            root: [first, second, third],
        }
    }
}

/// The next night against its forecast.
#[derive(Clone, Debug)]
pub struct Outlook {
    parts: Vec<Part>,
}

/// One possible garden and error.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw {
    /// Added to the forecast on every night, K.
    pub offset_k: f64,
    /// Added per unit of clearness, K.
    pub clear_k: f64,
    /// Times the stated error of the forecast.
    pub error_scale: f64,
}

impl Outlook {
    pub(crate) fn new(parts: Vec<Part>) -> Self {
        Self { parts }
    }

    fn mean_of(&self, of: impl Fn(&Part) -> f64) -> f64 {
        self.parts.iter().map(|p| p.weight * of(p)).sum()
    }

    /// Mean of garden less forecast, K.
    #[must_use]
    pub fn mean_k(&self) -> f64 {
        self.mean_of(|p| p.middle_k)
    }

    /// What is added on every night, clear or not, K.
    #[must_use]
    pub fn offset_k(&self) -> f64 {
        self.mean_of(|p| p.offset_k)
    }

    /// What a clear calm night adds, K per unit of clearness.
    #[must_use]
    pub fn clear_k(&self) -> f64 {
        self.mean_of(|p| p.clear_k)
    }

    /// Standard deviation of the difference itself, without the night's own error, K.
    #[must_use]
    pub fn doubt_k(&self) -> f64 {
        let mean = self.mean_k();
        self.mean_of(|p| p.doubt_k2 + (p.middle_k - mean).powi(2)).sqrt()
    }

    /// Standard deviation of the night's own error, K.
    #[must_use]
    pub fn error_k(&self) -> f64 {
        self.mean_of(|p| (p.error_scale * p.sigma_k).powi(2)).sqrt()
    }

    /// The error stated for the forecast's lead, K.
    #[must_use]
    pub fn stated_k(&self) -> f64 {
        self.mean_of(|p| p.sigma_k)
    }

    /// Standard deviation of what is added on every night, the thermometer's own fault among it, K.
    #[must_use]
    pub fn offset_doubt_k(&self) -> f64 {
        let mean = self.offset_k();
        let fault = THERMOMETER_FAULT_SIGMA_K * THERMOMETER_FAULT_SIGMA_K;
        let own = self.mean_of(|p| p.root[0] * p.root[0] + (p.offset_k - mean).powi(2));
        (own + fault).sqrt()
    }

    /// Standard deviation of what a clear calm night adds, K per unit of clearness.
    #[must_use]
    pub fn clear_doubt_k(&self) -> f64 {
        let mean = self.clear_k();
        let own = |p: &Part| p.root[1].powi(2) + p.root[2].powi(2);
        self.mean_of(|p| own(p) + (p.clear_k - mean).powi(2)).sqrt()
    }

    /// Chance that the reading less the forecast lies below `x`, K: Σ w F_ν[(x − m)/√(hᵀP h + R)] over the accounts.
    /// Equation 84 of docs/science.md.
    #[must_use]
    pub fn chance_below(&self, x: f64) -> f64 {
        self.mean_of(|p| student::cdf((x - p.middle_k) / (p.doubt_k2 + p.noise_k2).sqrt()))
    }

    /// What the reading less the forecast lies below with chance `p`, K, by halving.
    #[must_use]
    pub fn quantile_k(&self, p: f64) -> f64 {
        let (mut low, mut high) = (-60.0, 60.0);
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if self.chance_below(middle) < p {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }

    /// One possible garden and error. `uniform` lies in 0 to 1; `normal` gives standard normal numbers, eleven a draw.
    ///
    /// The thermometer's own lasting fault is drawn too: the plants do not feel it.
    pub fn draw(&self, uniform: f64, normal: &mut impl FnMut() -> f64) -> Draw {
        let mut left = uniform;
        let chosen = self.parts.iter().find(|p| {
            left -= p.weight;
            left <= 0.0
        });
        let z: [f64; 3] = std::array::from_fn(|_| normal());
        let squares: f64 = (0..DEGREES_OF_FREEDOM as usize).map(|_| normal().powi(2)).sum();
        let Some(part) = chosen.or(self.parts.last()) else {
            return Draw { offset_k: 0.0, clear_k: 0.0, error_scale: 1.0 };
        };
        Draw {
            offset_k: part.offset_k + part.root[0] * z[0] + THERMOMETER_FAULT_SIGMA_K * z[2],
            clear_k: part.clear_k + part.root[1] * z[0] + part.root[2] * z[1],
            error_scale: part.error_scale * ((DEGREES_OF_FREEDOM - 2.0) / squares.max(1e-3)).sqrt(),
        }
    }
}
