//! What the model does not know, and how widely: the priors of the ensemble, each drawn from a standard normal number z.
//!
//! `docs/limits.md` shows how much each moves the coldest leaf and how often measured nights fall inside the spread.

use garden::bed::Wetness;
use garden::garden::{Exposure, Site};
use microclimate::draws::{Draws, soil_resistance_s_m};
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::parameters::STILL_AIR_W_M2_K;
use microclimate::real::Real;

/// Standard normal numbers that [`draws`] takes for each member.
pub const UNKNOWNS: usize = 5;

/// The unknowns of sixteen members of a bed whose pores hold `saturation`, where `shelter` of the wind arrives.
///
/// Log-normal unless said: convection inside ×e^(.35 z), leak ×e^(.4 z), transmissivity + .07 z, shelter ×e^(.25 z),
/// still-air exchange ×e^(.4 z); each cut at about two and a half sigma (from memory, within the published spans).
#[must_use]
pub fn draws(z: &[[f64; UNKNOWNS]; WIDTH], shelter: f64, saturation: Lanes) -> Draws<Lanes> {
    let get = |i: usize, f: &dyn Fn(f64) -> f64| Lanes::from_lanes(|m| f(z[m][i]));
    Draws {
        saturation,
        soil_resistance_s_m: Lanes::from_lanes(|m| soil_resistance_s_m(saturation.lane(m))),
        convection: get(0, &|z| (0.35 * z).exp().clamp(0.6, 2.1)),
        leak: get(1, &|z| (0.4 * z).exp().clamp(0.35, 3.0)),
        transmissivity: get(2, &|z| (0.07 * z).clamp(-0.15, 0.15)),
        shelter: get(3, &|z| shelter * (0.25 * z).exp().clamp(0.5, 2.0)),
        still_air: get(4, &|z| STILL_AIR_W_M2_K * (0.4 * z).exp().clamp(0.4, 2.5)),
    }
}

/// The middle of every prior for the sixteen classes of soil wetness.
#[must_use]
pub fn central(site: &Site, wetness: Wetness) -> Draws<Lanes> {
    draws(&[[0.0; UNKNOWNS]; WIDTH], shelter(site.exposure), saturations(wetness))
}

/// Shift of the clear-sky emissivity: 0.02 z, at most ±.05, as the published formulas differ near 0 °C.
#[must_use]
pub fn sky_emissivity(z: f64) -> f64 {
    (0.02 * z).clamp(-0.05, 0.05)
}

/// What the model is off by on a night whose weather and bed are known, K: 0.8 z, after the RMSE of the night's coldest
/// skin at Champaign, days 60–125. Open and covered share it. `docs/limits.md` tries the spread on another site.
#[must_use]
pub fn model_error_k(z: f64) -> f64 {
    0.8 * z
}

/// Wind where none is known, m/s: median 1.5, from calm to fresh (from memory).
#[must_use]
pub fn unknown_wind_m_s(z: f64) -> f64 {
    1.5 * (0.8 * z).exp()
}

/// A number between 0 and 1, all alike, by the logistic stand-in for the normal distribution function.
#[must_use]
pub fn uniform(z: f64) -> f64 {
    1.0 / (1.0 + (-1.702 * z).exp())
}

/// Mean and spread of how much colder the garden is than the forecast on a clear calm night, K.
///
/// Cold-pool sites run 1–3 K below the forecast (forecast evaluations, synthesis); the other exposures from memory.
/// A measured offset keeps 0.7 K of doubt.
#[must_use]
pub fn cold_spot_k(site: &Site) -> (f64, f64) {
    match (site.cold_spot_offset_k, site.exposure) {
        (Some(k), _) => (k, 0.7),
        (None, Exposure::ValleyFloor) => (-2.0, 1.2),
        (None, Exposure::Open) => (-0.7, 1.0),
        (None, Exposure::Slope | Exposure::Walled) => (-0.3, 0.8),
        (None, Exposure::Hilltop) => (0.3, 0.8),
    }
}

/// Saturation of the pores of the sixteen classes: even steps through the prior of what a hand can tell.
#[must_use]
pub fn saturations(wetness: Wetness) -> Lanes {
    let (low, high) = match wetness {
        Wetness::Dry => (0.10, 0.35),
        Wetness::Damp => (0.40, 0.75),
        Wetness::Wet => (0.75, 0.97),
    };
    Lanes::from_lanes(|m| low + (high - low) * (m as f64 + 0.5) / WIDTH as f64)
}

/// Wind at the garden over wind of the forecast point (from memory).
#[must_use]
pub fn shelter(exposure: Exposure) -> f64 {
    match exposure {
        Exposure::Walled => 0.4,
        Exposure::ValleyFloor => 0.6,
        Exposure::Slope => 0.75,
        Exposure::Open => 0.9,
        Exposure::Hilltop => 1.1,
    }
}
