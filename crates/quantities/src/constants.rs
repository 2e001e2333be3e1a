//! Numbers that several rooms compute with: meaning, unit, source. The exact factors between units are in `units.rs`.
//!
//! The coefficients of a published formula with many of them stand in its function, beside the formula and its source.

/// Radius of the Earth taken as a sphere, km (mean radius, International Union of Geodesy and Geophysics, rounded).
pub const EARTH_RADIUS_KM: f64 = 6371.0;
/// Julian date of 1970-01-01T00:00:00Z, days (definition).
pub const UNIX_EPOCH_JULIAN_DATE: f64 = 2_440_587.5;
/// Seconds in one day.
pub const SECONDS_PER_DAY: f64 = 86_400.0;

/// Saturation vapour pressure at 0 °C, kPa (FAO-56 eq. 11).
pub const SATURATION_AT_ZERO_KPA: f64 = 0.6108;
/// Air pressure at sea level, kPa (FAO-56 eq. 7).
pub const SEA_LEVEL_PRESSURE_KPA: f64 = 101.3;
/// Air temperature at sea level, K (FAO-56 eq. 7).
pub const SEA_LEVEL_TEMPERATURE_K: f64 = 293.0;
/// Fall of the air temperature with height, K/m (FAO-56 eq. 7).
pub const LAPSE_RATE_K_M: f64 = 0.0065;
/// Exponent of the pressure with height (FAO-56 eq. 7).
pub const PRESSURE_EXPONENT: f64 = 5.26;
/// Psychrometric constant over air pressure, γ/P, K⁻¹ (FAO-56 eq. 8).
pub const PSYCHROMETRIC_PER_KPA: f64 = 0.665e-3;
/// Coefficient of a ventilated psychrometer, K⁻¹ (FAO-56 eq. 15).
pub const PSYCHROMETER_COEFFICIENT: f64 = 0.000_662;

/// Height of the sun's centre at sunrise and sunset, degrees: upper limb on the horizon with mean refraction.
pub const SUNRISE_ALTITUDE_DEG: f64 = -0.833;
/// Height of the sun's centre at the end of useful light, degrees: civil dusk.
pub const CIVIL_DUSK_ALTITUDE_DEG: f64 = -6.0;
/// Terrestrial time less universal time, s: about 69 in the 2020s; a minute's error moves the sun by less than 0.001° in
/// height.
pub const DELTA_T_S: f64 = 69.0;
/// Solar constant, MJ m⁻² min⁻¹ (FAO-56 eq. 21).
pub const SOLAR_CONSTANT_MJ_M2_MIN: f64 = 0.0820;
