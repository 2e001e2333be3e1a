//! What short days and dim light take from growth. Rough, and said to be.

/// Day length at and above which growth is not slowed, h. A grower's rule ("ten hours"), not a law.
pub const TEN_HOURS_H: f64 = 10.0;
/// Day length at and below which it is slowest, h (from memory, rough).
const SHORTEST_H: f64 = 8.0;
/// Share of its speed that is left there (from memory, rough: "growth nearly stands still").
const LEAST_SPEED: f64 = 0.25;

/// Weight that a plant grows to, in its own weight at the start (from memory, rough).
const HUNDREDFOLD: f64 = 100.0;
/// Share of the sun's energy that is light for plants (common factor of horticulture, from memory).
const PLANT_LIGHT_SHARE: f64 = 0.45;
/// Light for plants in a joule of it, µmol (common factor of horticulture, from memory).
const MICROMOL_PER_J: f64 = 4.57;

/// Share of its speed that growth keeps at a day length, 0.25 to 1.
///
/// s = 1 from ten hours up, 0.25 from eight hours down, straight between. Units: h. Range: 0 to 24.
/// Source: the ten hours are a grower's rule; the other two numbers are from memory and rough.
/// Checked by `growth::short_days_and_dim_light_slow_growth`.
/// Equation 55 of docs/science.md.
#[must_use]
pub fn speed_by_day_length(day_length_h: f64) -> f64 {
    let place = ((day_length_h - SHORTEST_H) / (TEN_HOURS_H - SHORTEST_H)).clamp(0.0, 1.0);
    LEAST_SPEED + (1.0 - LEAST_SPEED) * place
}

/// Share of its speed that growth keeps where a share q of the light outside comes through, s = q^e.
///
/// The exponent e is the crop's: [`exponent`] makes it from a measured gain of dry weight. Range: q in 0 to 1.
/// Checked by `growth::short_days_and_dim_light_slow_growth`.
/// Equation 56 of docs/science.md.
#[must_use]
pub fn speed_by_share(share: f64, exponent: f64) -> f64 {
    share.clamp(0.0, 1.0).powf(exponent)
}

/// Exponent e of the speed of growth on light, from the ratio W of dry weights that a ratio L of light brings.
///
/// A plant that grows from w to 100 w in the dimmer light has grown at (ln 100 + ln W)/ln 100 times the speed in the
/// brighter, so e = ln(1 + ln W / ln 100) / ln L. The hundredfold is assumed (from memory, rough).
/// Checked by `growth::the_exponents_of_light_come_from_measured_gains`.
/// Equation 56 of docs/science.md.
#[must_use]
pub fn exponent(weight_ratio: f64, light_ratio: f64) -> f64 {
    (weight_ratio.ln() / HUNDREDFOLD.ln()).ln_1p() / light_ratio.ln()
}

/// Light for plants, mol m⁻² d⁻¹, of a day's sun of Rs MJ m⁻² through a cover that passes a share τ: 2.06 Rs τ.
///
/// 0.45 of the sun's energy is light for plants, 4.57 µmol J⁻¹ (0.45 · 4.57 = 2.06). Range: Rs 0 to 45, τ 0 to 1.
/// Source: common factors of horticulture, from memory. Checked by `growth::daily_light_of_a_day_of_sun`.
/// Equation 57 of docs/science.md.
#[must_use]
pub fn daily_light_mol(sun_mj_m2: f64, share: f64) -> f64 {
    PLANT_LIGHT_SHARE * MICROMOL_PER_J * sun_mj_m2 * share
}
