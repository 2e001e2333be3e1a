//! How wrong a forecast is by lead time, correlated from hour to hour.
//!
//! Air: standard deviation of the errors of nightly minima by lead. To two days measured on forecasts for US cities of 2021
//! between −7 and +4 °C (`error_model::measured_errors_by_lead`): 1.71, 1.77, 1.87, 1.94 K at 12, 24, 36, 48 h. Later days
//! from memory (synthesis of Baars & Mass 2005, Myrick & Horel 2006, Lopes et al. 2024): 2.2, 2.5, 2.8, 3.1, 3.5 K. Cities
//! differ (standard deviation of the logarithm 0.18) more than regions do, and their bias is of either sign: neither is in
//! the table, both are learned from the garden's own readings.
//! The rest from memory: dew point 1.5 K of its own beside half of the air's error; wind a factor with
//! σ(ln) 0.35; cloud σ 0.25. All with one memory (first-order autoregression).

use quantities::{Moment, WeatherHour};

use crate::constants::{
    DEW_SHARES, MEMORY_H, SIGMA_AIR_BY_DAY_K, SIGMA_CLOUD, SIGMA_DEW_K, SIGMA_LN_WIND,
};

/// Standard deviation of the air-temperature error at a lead, K; grows along the table and stays at its end.
#[must_use]
pub fn sigma_air_k(lead_hours: f64) -> f64 {
    let days = (lead_hours / 24.0).clamp(0.0, 7.0);
    let below = (days.floor() as usize).min(6);
    let share = days - below as f64;
    SIGMA_AIR_BY_DAY_K[below] * (1.0 - share) + SIGMA_AIR_BY_DAY_K[below + 1] * share
}

/// What is added to, or multiplied into, one hour of a forecast.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HourError {
    /// Added to the air temperature, K.
    pub air_k: f64,
    /// Added to the dew point, K.
    pub dew_point_k: f64,
    /// Times the wind.
    pub wind_factor: f64,
    /// Added to the cloud fraction.
    pub cloud: f64,
}

/// One possible course of errors over `hours`, from standard normal numbers drawn from `normal`.
///
/// xᵢ = φ xᵢ₋₁ + √(1 − φ²) ξ with φ = exp(−1/13), x₀ = ξ; the error is σ(lead) x.
/// Checked by `error_model::spread_and_memory_are_as_stated`.
/// Equation 21 of docs/science.md.
pub fn draw(
    hours: &[WeatherHour],
    issued: Moment,
    normal: &mut impl FnMut() -> f64,
) -> Vec<HourError> {
    let phi = (-1.0 / MEMORY_H).exp();
    let fresh = (1.0 - phi * phi).sqrt();
    let mut x: [f64; 4] = std::array::from_fn(|_| normal());
    hours
        .iter()
        .enumerate()
        .map(|(i, hour)| {
            if i > 0 {
                for v in &mut x {
                    *v = phi * *v + fresh * normal();
                }
            }
            let lead = hour.interval.start.hours_since(issued).max(0.0);
            let air_k = sigma_air_k(lead) * x[0];
            HourError {
                air_k,
                dew_point_k: DEW_SHARES * air_k + SIGMA_DEW_K * x[1],
                wind_factor: (SIGMA_LN_WIND * x[2]).exp(),
                cloud: SIGMA_CLOUD * x[3],
            }
        })
        .collect()
}

impl HourError {
    /// The same with the error in air `times` as large; the dew point follows by the share that it has of the air's error.
    #[must_use]
    pub fn scaled(self, times: f64) -> Self {
        self.warmer((times - 1.0) * self.air_k)
    }

    /// The same error in air `k` warmer, K; the dew point follows by the share that it has of the air's error.
    #[must_use]
    pub fn warmer(self, k: f64) -> Self {
        Self { air_k: self.air_k + k, dew_point_k: self.dew_point_k + DEW_SHARES * k, ..self }
    }
}

/// What to add to the air errors of a night so that its own minimum errs as the hour of the forecast minimum was drawn to, K.
///
/// σ(lead) is the error of nightly minima; the least of a wandering course lies below the course's least, so the whole
/// night is raised by δ = min T + e(at that minimum) − min(T + e) ≥ 0. Both slices go step by step; 0 where they are empty.
/// Units: °C and K. Checked by `error_model::drawn_minima_err_as_stated`.
/// Equation 67 of docs/science.md.
#[must_use]
pub fn minimum_correction_k(course_c: &[f64], errors_k: &[f64]) -> f64 {
    let pairs = || course_c.iter().zip(errors_k);
    let drawn = pairs().map(|(t, e)| t + e).fold(f64::INFINITY, f64::min);
    pairs()
        .min_by(|a, b| a.0.total_cmp(b.0))
        .map(|(t, e)| t + e - drawn)
        .filter(|k| k.is_finite())
        .unwrap_or(0.0)
}
