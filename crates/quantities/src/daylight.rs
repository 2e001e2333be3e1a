//! The sun of a whole day by the plain formulas of FAO-56: day length, solar noon, extraterrestrial radiation.
//!
//! For days made out of daily records; [`crate::sun`] finds the sun at a moment, to the minute.
//!
//! J is the day of the year, φ the latitude. Source: Allen et al. 1998, FAO Irrigation and Drainage Paper 56, eq. 21–25
//! and 31–34 (constants of eq. 32–33 from memory). The disc and the bending of light are left out: sunrise comes about
//! four minutes late. Checked by `daylight::the_sun_of_the_handbook`.

use std::f64::consts::{PI, TAU};

use crate::constants::SOLAR_CONSTANT_MJ_M2_MIN;
use crate::{Moment, Place};

/// dr = 1 + 0.033 cos(2πJ/365).
/// Equation 41 of docs/science.md.
#[must_use]
pub fn inverse_relative_distance(day_of_year: f64) -> f64 {
    1.0 + 0.033 * (TAU * day_of_year / 365.0).cos()
}

/// δ = 0.409 sin(2πJ/365 − 1.39), rad.
/// Equation 41 of docs/science.md.
#[must_use]
pub fn declination_rad(day_of_year: f64) -> f64 {
    0.409 * (TAU * day_of_year / 365.0 - 1.39).sin()
}

/// ωs = arccos(−tan φ tan δ), rad; 0 where the sun stays down, π where it stays up.
/// Equation 41 of docs/science.md.
#[must_use]
pub fn sunset_hour_angle_rad(latitude_deg: f64, day_of_year: f64) -> f64 {
    let latitude = latitude_deg.clamp(-89.9, 89.9).to_radians();
    (-latitude.tan() * declination_rad(day_of_year).tan()).clamp(-1.0, 1.0).acos()
}

/// N = 24 ωs/π, h, 0 to 24.
/// Equation 41 of docs/science.md.
#[must_use]
pub fn day_length_h(latitude_deg: f64, day_of_year: f64) -> f64 {
    24.0 / PI * sunset_hour_angle_rad(latitude_deg, day_of_year)
}

/// Ra = (24·60/π) Gsc dr [ωs sin φ sin δ + cos φ cos δ sin ωs], Gsc = 0.0820 MJ m⁻² min⁻¹; MJ m⁻² d⁻¹.
/// Equation 41 of docs/science.md.
#[must_use]
pub fn extraterrestrial_radiation_mj_m2(latitude_deg: f64, day_of_year: f64) -> f64 {
    let (phi, delta) = (latitude_deg.to_radians(), declination_rad(day_of_year));
    let w = sunset_hour_angle_rad(latitude_deg, day_of_year);
    let height = w * phi.sin() * delta.sin() + phi.cos() * delta.cos() * w.sin();
    24.0 * 60.0 / PI * SOLAR_CONSTANT_MJ_M2_MIN * inverse_relative_distance(day_of_year) * height
}

/// What of that falls between two moments: for each day Ra = (12·60/π) Gsc dr [(ω₂ − ω₁) sin φ sin δ + cos φ cos δ (sin ω₂ −
/// sin ω₁)], ω the hour angle from solar noon held within ±ωs; MJ m⁻², 0 where `to` is not after `from` (FAO-56 eq. 28).
/// Equation 106 of docs/science.md.
///
/// Checked by `daylight::the_handbooks_hour`, `parts_of_days_add_up_as_the_sun_goes`.
#[must_use]
pub fn extraterrestrial_radiation_between_mj_m2(place: &Place, from: Moment, to: Moment) -> f64 {
    const DAY_S: i64 = 86_400;
    let phi = place.latitude_deg.to_radians();
    let days = from.0.div_euclid(DAY_S) - 1..=to.0.div_euclid(DAY_S) + 1;
    let of_day = |day: i64| {
        let j = day_of_year(day);
        let (delta, sunset) = (declination_rad(j), sunset_hour_angle_rad(place.latitude_deg, j));
        let noon_s = (day * DAY_S) as f64 + 3600.0 * solar_noon_utc_h(place.longitude_deg, j);
        let angle = |at: Moment| (PI * (at.0 as f64 - noon_s) / 43_200.0).clamp(-sunset, sunset);
        let (w1, w2) = (angle(from), angle(to));
        let height =
            (w2 - w1) * phi.sin() * delta.sin() + phi.cos() * delta.cos() * (w2.sin() - w1.sin());
        12.0 * 60.0 / PI * SOLAR_CONSTANT_MJ_M2_MIN * inverse_relative_distance(j) * height
    };
    if to <= from { 0.0 } else { days.map(of_day).sum() }
}

/// Day of the year, 1 to 366, of a day counted from 1 January 1970, in the Gregorian calendar.
///
/// Counted from 1 March within eras of 400 years, so that a leap day is the last of its year.
/// Checked by `daylight::days_are_numbered_as_in_the_calendar`.
#[must_use]
pub fn day_of_year(days_since_1970: i64) -> f64 {
    let of_era = (days_since_1970 + 719_468).rem_euclid(146_097);
    let year = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let from_march = of_era - (365 * year + year / 4 - year / 100);
    let leap = year % 4 == 0 && (year % 100 != 0 || year == 0);
    let j = if from_march >= 306 { from_march - 305 } else { from_march + 60 + i64::from(leap) };
    j as f64
}

/// Sc = 0.1645 sin 2b − 0.1255 cos b − 0.025 sin b, b = 2π(J − 81)/364, h.
/// Equation 41 of docs/science.md.
#[must_use]
pub fn equation_of_time_h(day_of_year: f64) -> f64 {
    let b = TAU * (day_of_year - 81.0) / 364.0;
    0.1645 * (2.0 * b).sin() - 0.1255 * b.cos() - 0.025 * b.sin()
}

/// Hours after 00:00 UTC of its date at which the sun stands highest; 12 − λ/15 − Sc with λ in degrees east.
/// Equation 41 of docs/science.md.
#[must_use]
pub fn solar_noon_utc_h(longitude_deg: f64, day_of_year: f64) -> f64 {
    12.0 - longitude_deg / 15.0 - equation_of_time_h(day_of_year)
}
