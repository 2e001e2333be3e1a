//! What readings under one kind of cover teach of how much it gains.

use crate::constants::{
    COVER_MEMORY, DEGREES_OF_FREEDOM, FEWEST_NIGHTS, GAIN_SIGMA_K, PAIR_FAULT_SIGMA_K,
};

/// One night under a cover.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoverNight {
    /// Its number in days.
    pub day: f64,
    /// Gain over the open as read, less the gain as the model has it untaught, K.
    pub off_k: f64,
}

/// How far the gain lies from the model's, by readings alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoverLesson {
    /// Nights it rests on.
    pub nights: usize,
    /// Mean of gain read less gain said, K.
    pub off_k: f64,
    /// Variance of that mean, the thermometers' own lasting fault among it, K².
    pub variance_k2: f64,
}

impl CoverLesson {
    /// From nights up to `day`; `None` from fewer than five.
    ///
    /// δ̄ = Σ w δ/Σ w, w = a (ν + 1)/(ν + (δ − δ̄)²/s²), a = exp(−age/memory); variance s²/Σ w + fault².
    /// Location of Student's t by reweighting (textbook, from memory). Units: K and days.
    /// Checked by `cover::a_cover_is_learned_and_a_slip_weighs_little`.
    /// Equation 86 of docs/science.md.
    #[must_use]
    pub fn from_nights(nights: &[CoverNight], day: f64) -> Option<Self> {
        if nights.len() < FEWEST_NIGHTS {
            return None;
        }
        let mut sorted: Vec<f64> = nights.iter().map(|n| n.off_k).collect();
        sorted.sort_by(f64::total_cmp);
        let mut off_k = sorted[sorted.len() / 2];
        let mut weights = 0.0;
        let nu = DEGREES_OF_FREEDOM;
        for _ in 0..20 {
            let mut sum = 0.0;
            weights = 0.0;
            for n in nights {
                let fresh = (-(day - n.day).max(0.0) / COVER_MEMORY).exp();
                let far = (n.off_k - off_k) / GAIN_SIGMA_K;
                let w = fresh * (nu + 1.0) / (nu + far * far);
                weights += w;
                sum += w * n.off_k;
            }
            if weights < 1e-6 {
                return None;
            }
            off_k = sum / weights;
        }
        let variance_k2 =
            GAIN_SIGMA_K * GAIN_SIGMA_K / weights + PAIR_FAULT_SIGMA_K * PAIR_FAULT_SIGMA_K;
        Some(Self { nights: nights.len(), off_k, variance_k2 })
    }
}
