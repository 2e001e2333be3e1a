//! What one evening knew of its night, and what the night then brought: errors drawn once for each night of each year.

use microclimate::lanes::WIDTH;
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;
use weather::constants::MEMORY_H;
use weather::error_model::sigma_air_k;

use crate::constants::{LEAD_H, NIGHTS_AHEAD, OTHER_SIGMA_K};
use crate::years::batch_weather::BatchWeather;
use evening::priors;

/// One night of one year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawnForecast {
    /// Minima of tonight and the nights after as forecast, °C; NaN where not known.
    pub forecast_c: [f64; NIGHTS_AHEAD],
    /// Air as it came less air as forecast, K.
    pub air_error_k: f64,
    /// Tissue as it came less tissue as foreseen, for what else was not foreseen, K.
    pub other_error_k: f64,
    /// What the model is off by, K.
    pub model_error_k: f64,
}

impl DrawnForecast {
    /// The night after day `d` of the batch in lane `l`.
    ///
    /// Forecast = truth − σ(lead) x; x keeps exp(−24/12) of itself from one night of a forecast to the next.
    /// The draw depends on seed, year and day alone. Checked by `replay::forecasts_err_as_stated`.
    #[must_use]
    pub fn draw(years: &BatchWeather, d: usize, l: usize, seed: u64) -> Self {
        let day = &years.days[d];
        let year = years.years.get(l).copied().unwrap_or(0);
        let mix = (year as u64) << 32 | day.index as u64;
        let mut rng =
            Xoshiro256PlusPlus::seed_from_u64(seed ^ mix.wrapping_mul(0x9e37_79b9_7f4a_7c15));
        let mut normal = || -> f64 { StandardNormal.sample(&mut rng) };
        let model_error_k = priors::model_error_k(normal());
        let other_error_k = OTHER_SIGMA_K * normal();
        let phi = (-24.0 / MEMORY_H).exp();
        let mut x = normal();
        let mut air_error_k = 0.0;
        let forecast_c = std::array::from_fn(|ahead| {
            if ahead > 0 {
                x = phi * x + (1.0 - phi * phi).sqrt() * normal();
            }
            let error = sigma_air_k(LEAD_H + 24.0 * ahead as f64) * x;
            if ahead == 0 {
                air_error_k = error;
            }
            years.days.get(d + ahead).map_or(f64::NAN, |n| f64::from(n.low_c[l]) - error)
        });
        Self { forecast_c, air_error_k, other_error_k, model_error_k }
    }
}

/// Points and weights of a standard normal number, half a unit apart from −4 to 4 (trapezoid rule).
///
/// For a logistic of steepness k over a spread σ the error falls as exp(−4π²/(kσ)) (poles at ±iπ/(kσ)).
/// Checked by `replay::the_quadrature_is_exact_enough`.
/// Equation 52 of docs/science.md.
#[must_use]
pub fn quadrature() -> [(f64, f64); 17] {
    let weight = |z: f64| (-0.5 * z * z).exp();
    let sum: f64 = (-8..=8).map(|i| weight(0.5 * f64::from(i))).sum();
    std::array::from_fn(|i| {
        let z = 0.5 * (i as f64 - 8.0);
        (z, weight(z) / sum)
    })
}

/// Spread of a coldest tissue around its foreseen value, K: √((α σ_air)² + (β e)² + m²), α its answer to the air, K per K,
/// β its share of what else errs, e = [`OTHER_SIGMA_K`], m the model's own error.
/// Equation 51 of docs/science.md.
#[must_use]
pub fn spread_k(air: f64, rest: f64) -> f64 {
    let (air, rest, model) =
        (air * sigma_air_k(LEAD_H), rest * OTHER_SIGMA_K, priors::model_error_k(1.0));
    (air * air + rest * rest + model * model).sqrt()
}

/// Whether the night of a lane is known.
#[must_use]
pub fn known(years: &BatchWeather, d: usize, l: usize) -> bool {
    l < WIDTH && !years.days[d].low_c[l].is_nan()
}
