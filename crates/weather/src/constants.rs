//! Every number of this room: meaning, unit, source. Columns, units and missing-value marks of a file format stand in the
//! file that reads it; the coefficients of a published formula stand beside it where it names them all.

/// Longest forecast or record that is read, hours (40 days).
pub const MOST_HOURS: i64 = 960;
/// Most values in a JSON forecast, and most lists and objects within each other: a month of every element that a service
/// knows is a fifth of it, and eight deep (chosen).
pub const MOST_JSON_VALUES: usize = 400_000;
/// See [`MOST_JSON_VALUES`].
pub const DEEPEST_JSON: usize = 32;
/// Air that is so far off the middle of the hours around it is no weather, K (chosen: the fastest changes on record, some
/// 27 K in two minutes and back within hours at Spearfish 1943, from memory, stay for longer than one hour of a forecast).
pub const SPIKE_K: f64 = 30.0;
/// A dew point so far above the air is no rounding, K.
pub const DEW_ABOVE_AIR_K: f64 = 1.0;
/// Mean wind so far above its own gusts is no rounding, m/s and as a share (chosen: services round to knots, and give the
/// gust of the hour before beside the wind of the moment).
pub const WIND_ABOVE_GUST: (f64, f64) = (2.0, 0.25);
/// Height of the wind in forecasts, m (World Meteorological Organization's standard).
pub const WIND_HEIGHT_M: f64 = 10.0;
/// Cloud, of 1, for the WMO weather codes 0 clear, 1 mainly clear, 2 partly cloudy; any other is overcast. Code table 4677
/// of the World Meteorological Organization, as services use it; the numbers are from memory.
pub const CLOUD_BY_CODE: [f64; 3] = [0.05, 0.25, 0.5];

/// Standard deviation of the error of a night's minimum at leads of 0 to 7 days, K; sources in `error_model.rs`.
pub const SIGMA_AIR_BY_DAY_K: [f64; 8] = [1.65, 1.77, 1.94, 2.2, 2.5, 2.8, 3.1, 3.5];
/// Memory of an error, h: over a day exp(−24/13) = 0.16, the measured correlation of tonight's and tomorrow's error in one
/// forecast (US cities, 2021). That it fades alike within a night is assumed.
pub const MEMORY_H: f64 = 13.0;
/// Own error of the dew point, K (from memory).
pub const SIGMA_DEW_K: f64 = 1.5;
/// Share of the air's error that the dew point shares (from memory).
pub const DEW_SHARES: f64 = 0.5;
/// Standard deviation of the logarithm of the wind factor (from memory).
pub const SIGMA_LN_WIND: f64 = 0.35;
/// Standard deviation of the cloud error, of 1 (from memory).
pub const SIGMA_CLOUD: f64 = 0.25;

/// The maximum comes this long before sunset, h (Cesaraccio et al. 2001).
pub const MAX_BEFORE_SUNSET_H: f64 = 4.0;
/// Share of the fall that is over at sunset (Cesaraccio et al. 2001).
pub const FALL_BY_SUNSET: f64 = 0.39;
/// Power of the time after sunset with which the rest of the fall goes: ½ as published (Cesaraccio et al. 2001).
pub const PUBLISHED_POWER: f64 = 0.5;
/// Power of the nightly fall that is used, between the published ½ and a straight line.
///
/// Chosen on Champaign 1998 and Dinosaur 2018–19, where ½ leaves nights 1.0 to 1.1 K too cold and 0.7 leaves them 0.5 to
/// 0.6 K too cold; US-Tw3 2014, by the sea, is best at ½ (0.7: 0.6 K too warm). Frost hours change little.
/// Checked by `hours::rebuilt_nights_beside_measured`.
pub const COOLING_POWER: f64 = 0.7;
/// Shortest and longest day of light that the curve is given, h: keeps it a curve beyond the polar circles.
pub const DAY_LENGTH_H: (f64, f64) = (1.0, 23.0);
/// Least stretch of time that the curve divides by, h.
pub const LEAST_STRETCH_H: f64 = 1e-6;
/// Share of the extraterrestrial radiation that arrives, over √(Tx − Tn), K^(−½) (Hargreaves inland, FAO-56 eq. 50).
pub const HARGREAVES: f64 = 0.16;
/// Share that arrives under a clear sky at sea level (FAO-56 eq. 37).
pub const CLEAR_SKY_SHARE: f64 = 0.75;
/// Its growth with height, 1/m (FAO-56 eq. 37).
pub const CLEAR_SKY_SHARE_PER_M: f64 = 2e-5;
/// Share of sunlight that overcast takes (Kasten & Czeplak 1980, from memory).
pub const OVERCAST_LOSS: f64 = 0.75;
/// Power of the cloud with which it takes it (Kasten & Czeplak 1980, from memory).
pub const CLOUD_EXPONENT: f64 = 3.4;
/// Spread of the cloud about what the daily fall says, of 1. Measured against cloud from solar radiation: 0.15 at
/// Champaign 1998, 0.15 to 0.16 at Dinosaur 2018–19, without bias (+0.01 to +0.05).
/// Checked by `hours::draws_beside_measured_days`.
pub const SIGMA_DRAWN_CLOUD: f64 = 0.15;

/// One value in so many at either end may be a slip that tells nothing of the unit of a record (chosen).
pub const WILD_IN: usize = 1000;
/// A year is not counted where more than this share of the days is missing on which the threshold was ever reached: what
/// it brought is then mostly drawn (chosen).
pub const MOST_MISSING_SHARE: f64 = 0.5;
/// How often missing days are drawn anew (Rubin 1987: five to ten serve; more cost little here).
pub const FILLINGS: usize = 20;
/// Days on both sides whose minima tell what is usual on a day of the year (chosen on Reidsville and Grand Forks, beside
/// harmonics; proved on Fort Collins and Milwaukee).
pub const FILL_WINDOW_DAYS: usize = 10;
/// Least spread of minima on a day of the year, K: keeps a record of one value a record.
pub const LEAST_SPREAD_K: f64 = 0.5;
/// Days by which those dates are widened on both sides. Common practice, no source.
pub const MARGIN_DAYS: u16 = 7;
/// Days of a cold season.
pub const SEASON_DAYS: u16 = 365;
/// Years from which a number of years is "estimated", "representative" and "standard" (readme of NOAA's climate normals
/// 1991–2020).
pub const YEARS_OF_STANDING: [usize; 3] = [2, 10, 24];
/// Shares below and above an interval of doubt: the middle nine tenths lie inside.
pub const INTERVAL_SHARES: (f64, f64) = (0.05, 0.95);
/// Fewest values for a trend or a step. Common practice, no source.
pub const LEAST_VALUES: usize = 10;

/// A year counts with at least this many minima. Common practice, no source.
pub const LEAST_DAYS_OF_YEAR: usize = 350;
/// Chance of a false alarm in a record without any step, at most. Common practice, no source.
pub const LEAST_CHANCE: f64 = 0.01;
/// Steps below this are not told, K. Common practice, no source.
pub const LEAST_STEP_K: f64 = 0.5;
/// What 100 m of difference in height weigh when the nearest station is sought, km.
///
/// Measured on NOAA's published 1981–2010 dates of the last 32 °F at 5398 stations: the date of the nearest other station
/// is off by 8.3 days on average (12.9 where it lies 100 m or more higher or lower) by plain distance, by 7.9 (10.7) at
/// 20 km per 100 m, and hardly less with more. Checked by `stations::height_counts_when_the_nearest_is_sought`.
pub const KM_PER_100_M: f64 = 20.0;
/// Deepest snow on the ground that is believed, mm.
pub const DEEPEST_SNOW_MM: f64 = 10_000.0;
/// First and last year that a record may hold: thermometers are younger than the first.
pub const RECORD_YEARS: (i16, i16) = (1700, 2200);
/// A day made of hours counts when at least this many of its 24 hours were measured. Common practice, no source.
pub const LEAST_HOURS_OF_DAY: u32 = 22;
/// Highest believable maximum in hundredths of °F, and lowest as a positive number: beyond it a number is in tenths of °C.
/// The world's records are 134 °F and −128.6 °F (World Meteorological Organization, from memory).
pub const MOST_F: i32 = 14_000;
/// Highest believable maximum in hundredths of °C (record 56.7 °C, World Meteorological Organization, from memory).
pub const MOST_C: i32 = 5_700;
/// A summer whose highest maximum is less than this many hundredths of °C or °F grows no garden.
pub const LEAST_SUMMER: i32 = 1_500;
/// Days that surely hold a summer.
pub const DAYS_WITH_SUMMER: usize = 300;
