//! One account of the garden: how large its differences and errors are. A linear state with a robust reading each night.
//!
//! The state is the lasting difference, the difference of these days, and what clear calm nights add:
//! y − f = b + d + s c + e.

use crate::constants::{
    CLEAR_MEMORY, DEGREES_OF_FREEDOM, JUDGING_MEMORY, LASTING_MEMORY, LASTING_SIGMA_K,
    PASSING_MEMORY, PASSING_SIGMA_K, SLIP_CHANCE, SLIP_SIGMA_K, TAILS, THERMOMETER_SIGMA_K,
};
use crate::lessons::Night;
use crate::prior::Prior;
use crate::student;

/// Lasting, of these days, of clear calm nights.
pub(crate) const STATES: usize = 3;
const MEMORY: [f64; STATES] = [LASTING_MEMORY, PASSING_MEMORY, CLEAR_MEMORY];

/// Nights that pass without a reading.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Time {
    /// What is kept of each part of the state.
    kept: [f64; STATES],
    /// What is kept of the judgement on an account.
    judged: f64,
}

impl Time {
    pub fn new(nights: f64) -> Self {
        Self {
            kept: std::array::from_fn(|k| (-nights / MEMORY[k]).exp()),
            judged: JUDGING_MEMORY.powf(nights.max(1.0)),
        }
    }
}

/// What one account believes.
#[derive(Clone, Debug)]
pub(crate) struct Belief {
    /// The night-to-night error over the stated one.
    pub error_scale: f64,
    /// Standard deviation of each part of the state before any reading.
    sigma: [f64; STATES],
    /// Middle of each part before any reading.
    middle: [f64; STATES],
    /// Middle of the state.
    pub mean: [f64; STATES],
    /// Its covariance.
    pub covariance: [[f64; STATES]; STATES],
    /// Logarithm of how well it foretold, and of how likely it was at the outset.
    pub evidence: f64,
    outset: f64,
}

impl Belief {
    pub fn new(prior: &Prior, offset_scale: f64, error_scale: f64, ln_chance: f64) -> Self {
        let sigma =
            [LASTING_SIGMA_K * offset_scale, PASSING_SIGMA_K * offset_scale, prior.clear_sigma_k];
        let middle = [0.0, 0.0, prior.clear_k];
        let mut covariance = [[0.0; STATES]; STATES];
        for (k, row) in covariance.iter_mut().enumerate() {
            row[k] = sigma[k] * sigma[k];
        }
        Self {
            error_scale,
            sigma,
            middle,
            mean: middle,
            covariance,
            evidence: ln_chance,
            outset: ln_chance,
        }
    }

    /// Lets time pass: every part of the state goes back towards its prior as its memory fades.
    ///
    /// x ← m + φ (x − m), P ← φ P φ + (1 − φ²) σ², φ = exp(−nights/memory).
    /// Equation 79 of docs/science.md.
    pub fn pass(&mut self, time: &Time) {
        let phi = time.kept;
        for k in 0..STATES {
            self.mean[k] = self.middle[k] + phi[k] * (self.mean[k] - self.middle[k]);
            for l in 0..STATES {
                self.covariance[k][l] *= phi[k] * phi[l];
            }
            self.covariance[k][k] += (1.0 - phi[k] * phi[k]) * self.sigma[k] * self.sigma[k];
        }
        self.evidence = self.outset + time.judged * (self.evidence - self.outset);
    }

    /// Middle and variance of the difference on a night of clearness `clear`, and the state's covariance with it.
    pub fn difference(&self, clear: f64) -> (f64, f64, [f64; STATES]) {
        let h = [1.0, 1.0, clear];
        let with: [f64; STATES] =
            std::array::from_fn(|k| (0..STATES).map(|l| self.covariance[k][l] * h[l]).sum());
        let middle = (0..STATES).map(|k| h[k] * self.mean[k]).sum();
        (middle, (0..STATES).map(|k| h[k] * with[k]).sum(), with)
    }

    /// Squared scale of a reading about forecast and difference: the forecast's error, ν/(ν − 2) of it its variance, and the
    /// thermometer's scatter.
    pub fn noise(&self, sigma_k: f64) -> f64 {
        (self.error_scale * sigma_k).powi(2) / TAILS + THERMOMETER_SIGMA_K * THERMOMETER_SIGMA_K
    }

    /// Draws on a reading. An unlikely one weighs little: w = p (ν + 1)/(ν + e²/V), p the chance that it is no slip;
    /// K = P h w/(w hᵀP h + R). West 1984 (robust sequential estimation) from memory.
    /// Equation 80 of docs/science.md.
    pub fn read(&mut self, night: &Night) {
        let (middle, doubt, with) = self.difference(night.clear);
        let noise = self.noise(night.sigma_k);
        let (off, variance) = (night.error_k - middle, doubt + noise);
        let sound = student::ln_density(off, variance).exp() * (1.0 - SLIP_CHANCE);
        let slip_variance = variance + SLIP_SIGMA_K * SLIP_SIGMA_K;
        let slip = SLIP_CHANCE * (-0.5 * off * off / slip_variance).exp()
            / (std::f64::consts::TAU * slip_variance).sqrt();
        // Beyond any density a double holds, it is a slip that teaches nothing.
        if sound + slip < f64::MIN_POSITIVE {
            return;
        }
        self.evidence += (sound + slip).ln();
        let chance = sound / (sound + slip);
        let nu = DEGREES_OF_FREEDOM;
        let weight = chance * (nu + 1.0) / (nu + off * off / variance);
        // K = P h w/(w hᵀP h + R): sound for a weight of nothing.
        let gain: [f64; STATES] =
            std::array::from_fn(|k| with[k] * weight / (weight * doubt + noise));
        for ((mean, row), gain) in self.mean.iter_mut().zip(&mut self.covariance).zip(gain) {
            *mean += gain * off;
            row.iter_mut().zip(&with).for_each(|(p, w)| *p -= gain * w);
        }
    }
}
