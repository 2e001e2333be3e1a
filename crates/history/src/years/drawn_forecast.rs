//! What one evening knew of its nights, and what the night then brought: drawn once for each night of each year.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use microclimate::lanes::WIDTH;
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;
use weather::error_model::sigma_air_k;

use crate::constants::{LEAD_H, NIGHT_TO_NIGHT, NIGHTS_AHEAD, OTHER_LOWER_K, OTHER_SIGMA_K};
use crate::years::batch_weather::{BatchWeather, first_day};
use crate::years::minimum_climate::MinimumClimate;
use evening::priors;

/// One night of one year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawnForecast {
    /// Minima of tonight and the nights after as forecast, °C; NaN where not known.
    pub forecast_c: [f64; NIGHTS_AHEAD],
    /// Air as it came less air as forecast, K.
    pub air_error_k: f64,
    /// Tissue as it came less tissue computed from the forecast's cloud, wind and humidity, for what else errs, K.
    pub other_error_k: f64,
    /// What the model is off by, K.
    pub model_error_k: f64,
}

/// Forecasts that were really made: by the day number of the evening, tonight's and tomorrow night's minimum, °C.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MadeForecasts(pub BTreeMap<i32, [Option<f64>; 2]>);

/// What evenings are drawn from.
#[derive(Clone, Copy)]
pub struct Source<'a> {
    /// Climate of the minima.
    pub climate: &'a MinimumClimate,
    /// Forecasts that were made; what they do not tell is drawn.
    pub made: Option<&'a MadeForecasts>,
    /// South or north, °.
    pub latitude_deg: f64,
    /// Seed.
    pub seed: u64,
}

/// Standard normal numbers of one evening.
struct Normals {
    model: f64,
    other: f64,
    /// By night ahead, for the forecasts of the night that follows this evening.
    forecast: [f64; NIGHTS_AHEAD],
}

/// Every evening of a lane, in the order of the batch's days.
///
/// Forecasts of one night are drawn from the truth backwards, the last one first, so that each is what the next one and
/// the truth scatter about: f₀ − μ = ρ₀ (t − μ) + √(ρ₀(1 − ρ₀)) s η₀, f_k − μ = r (f_{k−1} − μ) + √(ρ_k (1 − r)) s η_k with
/// r = ρ_k/ρ_{k−1} and ρ_k = 1 − σ_k²/s², at least 0. Then E(t | f_k) = f_k and Var(t | f_k) = σ_k² for normal minima of
/// mean μ and standard deviation s (°C, K); no forecast is surer of the night than the climate is unsure.
/// η is carried from one night to the next by c = (ν − (1 − ρ₀) λ)/ρ₀, 0 to 0.9, so that errors of nights on end correlate
/// by ν = [`NIGHT_TO_NIGHT`]; λ is the correlation of the minima themselves.
/// The draw depends on seed, year and day alone, but for that memory. Source: derived; the slope of 1 as measured.
/// Checked by `forecasts::truth_scatters_about_the_forecast`.
/// Equation 77 of docs/science.md.
#[must_use]
pub fn evenings(years: &BatchWeather, l: usize, source: Source<'_>) -> Vec<DrawnForecast> {
    let year = years.years.get(l).copied().unwrap_or(0);
    let start = first_day(year, source.latitude_deg);
    let mut carried: Option<[f64; NIGHTS_AHEAD]> = None;
    let mut nights = Vec::with_capacity(years.days.len());
    let mut drawn = Vec::with_capacity(years.days.len());
    for day in &years.days {
        let normals = Normals::of(year, day.index, source.seed);
        let number = start + day.index as i32;
        let share = Shares::of(source.climate, number + 1);
        let fresh = (1.0 - share.carried * share.carried).sqrt();
        let eta = std::array::from_fn(|k| match &carried {
            Some(before) => share.carried * before[k] + fresh * normals.forecast[k],
            None => normals.forecast[k],
        });
        carried = Some(eta);
        let truth = f64::from(day.low_c[l]);
        let made = |k: usize| {
            let evening = source.made?.0.get(&(number - k as i32))?;
            evening.get(k).copied().flatten()
        };
        nights.push(share.forecasts(source.climate.mean_c(number + 1), truth, &eta, &made));
        drawn.push(normals);
    }
    (0..nights.len())
        .map(|d| {
            let forecast_c = std::array::from_fn(|k| nights.get(d + k).map_or(f64::NAN, |n| n[k]));
            DrawnForecast {
                forecast_c,
                air_error_k: f64::from(years.days[d].low_c[l]) - forecast_c[0],
                other_error_k: OTHER_SIGMA_K * drawn[d].other - OTHER_LOWER_K,
                model_error_k: priors::model_error_k(drawn[d].model),
            }
        })
        .collect()
}

/// How much of a night's departure each forecast knows.
struct Shares {
    /// Spread of the climate, K.
    sd_k: f64,
    /// ρ by nights ahead.
    known: [f64; NIGHTS_AHEAD],
    /// c.
    carried: f64,
}

impl Shares {
    fn of(climate: &MinimumClimate, number: i32) -> Self {
        let sd_k = climate.sd_k(number);
        let known = std::array::from_fn(|k| {
            let sigma = sigma_air_k(LEAD_H + 24.0 * k as f64);
            (1.0 - (sigma / sd_k).powi(2)).max(0.0)
        });
        let rho: f64 = known[0];
        let carried = (NIGHT_TO_NIGHT - (1.0 - rho) * climate.lag_one) / rho.max(1e-6);
        Self { sd_k, known, carried: carried.clamp(0.0, 0.9) }
    }

    /// Forecasts of one night by nights ahead; `made` where one was really made.
    fn forecasts(
        &self,
        mean: f64,
        truth: f64,
        eta: &[f64; NIGHTS_AHEAD],
        made: &dyn Fn(usize) -> Option<f64>,
    ) -> [f64; NIGHTS_AHEAD] {
        let (mut finer, mut knew) = (truth - mean, 1.0);
        std::array::from_fn(|k| {
            let (known, ratio) = (self.known[k], self.known[k] / f64::max(knew, 1e-9));
            let drawn = ratio * finer + (known * (1.0 - ratio)).sqrt() * self.sd_k * eta[k];
            (finer, knew) = (made(k).map_or(drawn, |f| f - mean), known);
            mean + finer
        })
    }
}

impl Normals {
    fn of(year: i16, index: usize, seed: u64) -> Self {
        let mix = (year as u64) << 32 | index as u64;
        let mut rng =
            Xoshiro256PlusPlus::seed_from_u64(seed ^ mix.wrapping_mul(0x9e37_79b9_7f4a_7c15));
        let mut normal = || -> f64 { StandardNormal.sample(&mut rng) };
        Self { model: normal(), other: normal(), forecast: std::array::from_fn(|_| normal()) }
    }
}

/// Points and weights of a standard normal number, half a unit apart from −4 to 4 (trapezoid rule).
///
/// For a logistic of steepness k over a spread σ the error falls as exp(−4π²/(kσ)) (poles at ±iπ/(kσ)).
/// Checked by `replay::the_quadrature_is_exact_enough`.
/// Equation 52 of docs/science.md.
#[must_use]
pub fn quadrature() -> &'static [(f64, f64); 17] {
    static POINTS: LazyLock<[(f64, f64); 17]> = LazyLock::new(|| {
        let weight = |z: f64| (-0.5 * z * z).exp();
        let sum: f64 = (-8..=8).map(|i| weight(0.5 * f64::from(i))).sum();
        std::array::from_fn(|i| {
            let z = 0.5 * (i as f64 - 8.0);
            (z, weight(z) / sum)
        })
    });
    &POINTS
}

/// Spread of a coldest tissue around its foreseen value, K: √((α σ_air)² + (β e)² + m²), α its answer to the air, K per K,
/// β its share of what else errs, e = [`OTHER_SIGMA_K`], m the model's own error, σ_air that of a night so many nights ahead.
/// Equation 51 of docs/science.md.
#[must_use]
pub fn spread_k(air: f64, rest: f64, ahead: usize) -> f64 {
    let sigma_air = sigma_air_k(LEAD_H + 24.0 * ahead as f64);
    let (air, rest, model) = (air * sigma_air, rest * OTHER_SIGMA_K, priors::model_error_k(1.0));
    (air * air + rest * rest + model * model).sqrt()
}

/// Whether the night of a lane is known.
#[must_use]
pub fn known(years: &BatchWeather, d: usize, l: usize) -> bool {
    l < WIDTH && !years.days[d].low_c[l].is_nan()
}
