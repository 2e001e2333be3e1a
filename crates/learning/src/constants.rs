//! Every chosen number. "Chosen on pairs": on the sets of `examples/pairs`, all their places, by RMSE and coverage.

/// Fewest nights from which anything is learned.
pub const FEWEST_NIGHTS: usize = 5;

/// Standard deviation of the lasting difference from the forecast, K, times [`OFFSET_SCALES`]. Chosen on pairs.
pub const LASTING_SIGMA_K: f64 = 1.0;
/// After so many nights a lasting difference has lost all but 1/e of what was known of it. Chosen on pairs (100 to 400
/// do alike).
pub const LASTING_MEMORY: f64 = 200.0;
/// Standard deviation of the difference of these days, K, times [`OFFSET_SCALES`]. Chosen on pairs.
pub const PASSING_SIGMA_K: f64 = 1.0;
/// Memory of the difference of these days, nights. Chosen on pairs (4 to 15 do alike).
pub const PASSING_MEMORY: f64 = 6.0;
/// Memory of what clear calm nights add, nights. From memory: about a season.
pub const CLEAR_MEMORY: f64 = 100.0;

/// A forecast for the garden itself, for nearby, for elsewhere: how large its differences are beside the two sigmas above.
pub const OFFSET_SCALES: [f64; 3] = [0.2, 1.0, 2.5];
/// How likely each is before the first reading. Chosen on pairs: at 40, 40 and 20 % 7 of 109 places came out over 2 % worse for
/// ten readings of their own forecast, at these one.
pub const OFFSET_CHANCES: [f64; 3] = [0.65, 0.25, 0.1];
/// The night-to-night error over the one stated for the forecast's lead.
pub const ERROR_SCALES: [f64; 6] = [0.5, 0.7, 1.0, 1.4, 2.0, 2.8];
/// Standard deviation of the logarithm of that ratio before the first reading (chosen on pairs, .4 to .6 alike).
pub const ERROR_SCALE_SIGMA_LN: f64 = 0.6;

/// Degrees of freedom of the night-to-night error (chosen on pairs: 8 beats 5 for neighbours, and is as good at home).
pub const DEGREES_OF_FREEDOM: f64 = 8.0;
/// Variance over squared scale of such an error, ν/(ν − 2).
pub const TAILS: f64 = DEGREES_OF_FREEDOM / (DEGREES_OF_FREEDOM - 2.0);
/// Share of readings that are slips: a missing sign, °F for °C, the wrong night (from memory).
pub const SLIP_CHANCE: f64 = 0.02;
/// Standard deviation of a slip, K (from memory: 50 °F noted as 50 °C, −6 as 6).
pub const SLIP_SIGMA_K: f64 = 15.0;
/// What earlier nights count of their weight in judging an account, per night. Chosen on pairs (0.95 to 1 alike).
pub const JUDGING_MEMORY: f64 = 0.98;

/// A garden thermometer's scatter from night to night, K: half a degree of resolution, reading and height (from memory).
pub const THERMOMETER_SIGMA_K: f64 = 0.4;
/// What it is off by for good, K (from memory: cheap minimum thermometers are sold as ±1 °C, shade and height besides).
pub const THERMOMETER_FAULT_SIGMA_K: f64 = 0.4;
/// Scatter of one reading of the air at a moment against the forecast's own hour, K (from memory: half a degree of resolution,
/// a few minutes, gusts).
pub const MOMENT_SIGMA_K: f64 = 0.6;

/// Scatter of a cover's gain from night to night about what the model says of that night, K (from memory: the model's own
/// night-to-night error and two thermometers).
pub const GAIN_SIGMA_K: f64 = 1.0;
/// What two thermometers differ by for good, K: √2 of one's fault.
pub const PAIR_FAULT_SIGMA_K: f64 = 0.57;
/// Memory of what a cover taught, nights: cloth ages over seasons (from memory).
pub const COVER_MEMORY: f64 = 300.0;
