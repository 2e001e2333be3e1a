//! The sky: long-wave from air temperature, humidity and cloud; sunlight from sun height and cloud.
//!
//! Clear-sky formulas differ by up to 34 W/m² near 0 °C. The model takes Dilley & O'Brien 1998, the one that lies
//! within 8 W/m² of the pyrgeometers on the clear nights of three measured sites (`docs/limits.md`); the ensemble
//! samples the rest as a shift of the emissivity. The others are here to be compared.
//! Checked by `tests/vectors/sky.toml`.

use quantities::units::ZERO_CELSIUS_K;

use crate::black_body::emission;
use crate::parameters::{LEAST_COS_ZENITH, LEAST_SKY_EMISSIVITY};
use crate::real::Real;

/// Clear-sky long-wave 59.38 + 113.7 (T/273.16)⁶ + 96.96 √(w/25), w = 4650 e/T, W/m²; e in kPa, T in K, w in
/// kg m⁻² (Dilley & O'Brien 1998).
/// Equation 6 of docs/science.md.
pub fn clear_sky_longwave_w_m2<R: Real>(air_c: R, vapour_kpa: R) -> R {
    let kelvin = air_c + ZERO_CELSIUS_K;
    let warmth = kelvin / 273.16;
    let cube = warmth * warmth * warmth;
    let water = vapour_kpa * 4650.0 / kelvin;
    cube * cube * 113.7 + (water / 25.0).sqrt() * 96.96 + 59.38
}

/// Emissivity under cloud c: (1 − 0.84 c) ε₀ + 0.84 c (Unsworth & Monteith 1975).
/// Equation 7 of docs/science.md.
pub fn emissivity_under_cloud<R: Real>(clear: R, cloud: R) -> R {
    clear + cloud * 0.84 * (R::splat(1.0) - clear)
}

/// Long-wave from the sky on the level σ T⁴ ε(T, e, c), ε₀ = L₀/σT⁴ (Dilley & O'Brien), W/m²; `shift` is added to the clear-sky emissivity, for
/// formulas differ by ±.05 near 0 °C. Checked by `tests/vectors/sky.toml`.
pub fn longwave_w_m2<R: Real>(air_c: R, vapour_kpa: R, cloud: R, shift: R) -> R {
    let black = emission(air_c).0;
    let clear = (clear_sky_longwave_w_m2(air_c, vapour_kpa) / black + shift)
        .clamp(LEAST_SKY_EMISSIVITY, 1.0);
    emissivity_under_cloud(clear, cloud) * black
}

/// Clear-sky long-wave above snow, W/m²: the mean of Dilley & O'Brien and of 0.765 σT⁴ (König-Langlo & Augstein 1994, two
/// polar stations, from memory). Over snow the air at 2 m is far colder than the air above it that radiates; the one knows
/// nothing of that, the other is fitted where it is so all winter. Range: −40 to 5 °C.
/// Checked by `tests/vectors/sky.toml`; no clear night over snow was at hand to prove it (`docs/limits.md`).
/// Equation 99 of docs/science.md.
pub fn clear_sky_longwave_over_snow_w_m2<R: Real>(air_c: R, vapour_kpa: R) -> R {
    (clear_sky_longwave_w_m2(air_c, vapour_kpa) + emission(air_c).0 * 0.765) * 0.5
}

/// [`longwave_w_m2`] above ground of which the share `snow` is white, W/m².
/// Equation 99 of docs/science.md.
pub fn longwave_over_snow_w_m2<R: Real>(air_c: R, vapour_kpa: R, cloud: R, shift: R, snow: R) -> R {
    let more = clear_sky_longwave_over_snow_w_m2(air_c, vapour_kpa)
        - clear_sky_longwave_w_m2(air_c, vapour_kpa);
    longwave_w_m2(air_c, vapour_kpa, cloud, shift + snow * more / emission(air_c).0)
}

/// Brutsaert 1975: 1.24 (e/T)^(1/7), e in hPa, T in K.
#[must_use]
pub fn brutsaert(air_c: f64, vapour_kpa: f64) -> f64 {
    1.24 * (vapour_kpa * 10.0 / (air_c + ZERO_CELSIUS_K)).powf(1.0 / 7.0)
}

/// Brunt 1932: 0.52 + 0.065 √e, e in hPa.
#[must_use]
pub fn brunt(vapour_kpa: f64) -> f64 {
    0.52 + 0.065 * (10.0 * vapour_kpa).sqrt()
}

/// Idso & Jackson 1969: 1 − 0.261 exp[−7.77·10⁻⁴ (273 − T)²], T in K.
#[must_use]
pub fn idso_jackson(air_c: f64) -> f64 {
    1.0 - 0.261 * (-7.77e-4 * (273.0 - (air_c + ZERO_CELSIUS_K)).powi(2)).exp()
}

/// Prata 1996: 1 − (1 + w) exp[−√(1.2 + 3w)], w = 46.5 e/T (e in hPa, w in g cm⁻²).
#[must_use]
pub fn prata(air_c: f64, vapour_kpa: f64) -> f64 {
    let w = 465.0 * vapour_kpa / (air_c + ZERO_CELSIUS_K);
    1.0 - (1.0 + w) * (-(1.2 + 3.0 * w).sqrt()).exp()
}

/// Clear-sky sunlight on the level G₀ = 1098 cos z exp(−0.059/cos z), W/m² (Haurwitz 1945, as printed in Reno, Hansen & Stein 2012, SAND2012-2389); 0 at night.
/// Equation 8 of docs/science.md.
#[must_use]
pub fn clear_sky_shortwave_w_m2(zenith_deg: f64) -> f64 {
    let cos_z = zenith_deg.to_radians().cos();
    if cos_z <= LEAST_COS_ZENITH { 0.0 } else { 1098.0 * cos_z * (-0.059 / cos_z).exp() }
}

/// Share of sunlight that cloud c lets through: 1 − 0.75 c^3.4 (Kasten & Czeplak 1980, from memory).
/// Equation 8 of docs/science.md.
pub fn cloud_transmissivity<R: Real>(cloud: R) -> R {
    R::splat(1.0) - cloud.powf(3.4) * 0.75
}
