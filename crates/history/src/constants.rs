//! Every number of this crate that is chosen or taken from elsewhere, in one table, with its source.

/// A cover laid for the night comes off this long after sunrise, h (chosen).
pub const OFF_AFTER_SUNRISE_H: f64 = 2.0;
/// Height of the wind that stands in for what a daily record does not hold, m (chosen: the standard height).
pub const WIND_HEIGHT_M: f64 = 10.0;
/// A night matters to a bed when the garden's air falls to within this of the tissue temperature at which a tenth of a
/// planting is lost, K: an open leaf runs at most 5 K below the air, and 4 K above T10 the harm is some thousandths (calculated).
pub const MATTERS_MARGIN_K: f64 = 9.0;
/// No night warmer than this matters, °C (chosen: no crop of the table is lost above it).
pub const WARMEST_C: f64 = 8.0;
/// Days of open bed before the first that counts: they bring the soil to its warmth (from memory).
pub const SPIN_UP_DAYS: usize = 30;
/// Every so many nights are run again in air 2 K colder, for the answer to the air's temperature (chosen).
pub const RESPONSE_EVERY: usize = 8;
/// How much colder that air is, K (chosen).
pub const AIR_SHIFT_K: f64 = -2.0;
/// Depths below the surface at which roots are judged beside the 2 cm of seeds, m (chosen).
pub const ROOTS_M: [f64; 2] = [0.05, 0.10];
/// Lead of the coldest hour in a forecast read in the late afternoon, h (chosen).
pub const LEAD_H: f64 = 14.0;
/// Nights that a forecast tells (common practice, no source: the rule of five nights).
pub const NIGHTS_AHEAD: usize = 5;
/// What else moves the coldest tissue on an evening, K: cloud, wind, humidity, the cold spot and the model's unknowns
/// beside the air's error. Measured on 68 of the evening's own ensembles, whose spread it gives within 0.1 K.
/// Checked by `replay_sample::the_short_cut_decides_as_tonight`.
pub const OTHER_SIGMA_K: f64 = 0.85;
/// How much lower the middle of the evening's possible nights lies than the night computed with its forecast's cloud, wind and
/// humidity, K: they err hour by hour and the coldest half-hour counts. The truth comes as much lower, since it is one of those
/// nights. The air's own share of it is gone (`error_model::minimum_correction_k`). Measured on the same ensembles (0.20 open,
/// 0.26 covered) by `replay_sample::the_short_cut_decides_as_tonight`.
pub const OTHER_LOWER_K: f64 = 0.23;
/// Days before and after a day of the year whose minima count as its climate (chosen: enough nights, little of the season).
pub const CLIMATE_WINDOW_DAYS: usize = 10;
/// Least spread of a day's minima that is believed, K (chosen: it only keeps divisions sound).
pub const LEAST_CLIMATE_SD_K: f64 = 0.1;
/// Correlation of the forecast errors of two nights on end at one lead. Measured on US city forecasts of 2021: 0.11 to 0.17
/// at one lead, 0.16 between tonight and tomorrow of one issue; the upper end gives both.
/// Checked by `forecasts::errors_remember_as_measured`.
pub const NIGHT_TO_NIGHT: f64 = 0.17;
/// Draws of the errors over which a replay is averaged (chosen: the value then wanders by a few hundredths).
pub const ERROR_DRAWS: u32 = 12;
/// Times the years are drawn again for the interval of a score (chosen).
pub const SCORE_DRAWS: usize = 1000;
/// Days that a seed bed, seedling or transplant stays one (from memory: two to three weeks).
pub const YOUNG_DAYS: f64 = 21.0;
/// Days that a bloom stage lasts (from memory).
pub const BLOOM_DAYS: f64 = 28.0;
/// A blossom stage begins this long before the median last frost (from memory).
pub const BLOOM_BEFORE_DAYS: f64 = 7.0;
/// Freezing, °C.
pub const FREEZING_C: f64 = 0.0;
/// The forecast below which the rule covers hardy crops too, °C (25 °F; common practice, no source).
pub const HARD_FROST_C: f64 = -7.0 / 1.8;
/// A crop is hardy for the rule when a tenth is lost only below this, °C (28 °F; common practice, no source).
pub const HARDY_T10_C: f64 = -4.0 / 1.8;
/// The risk a grower takes where none is named: one year in ten (chosen).
pub const USUAL_RISK: f64 = 0.1;
/// Draws of each bootstrap of a date (chosen).
pub const DATE_DRAWS: usize = 400;
/// Spring is over on this day (chosen: 16 July, in the south 14 January): later dates are not tried, later frosts not counted.
pub const SPRING_ENDS: usize = 196;
/// Dates of setting out are tried every so many days (chosen).
pub const DATE_STEP_DAYS: usize = 3;
/// It is sensible to begin when so many days … (from memory, rough)
pub const GROWS_DAYS: usize = 14;
/// … bring this share of the growth of the crop's usual days (from memory, rough).
pub const GROWS_SHARE: f64 = 0.25;
/// Days of growth at the crop's usual warmth that make one more picking (from memory, rough: once a week).
pub const DAYS_A_PICKING: f64 = 7.0;
/// Share of the way to first picking after which a plant is no longer young (from memory, rough; as for bolting).
pub const YOUNG_SHARE: f64 = 0.3;
/// Share of the way to first picking after which what was sown is up (from memory, rough).
pub const EMERGED_SHARE: f64 = 0.1;
/// Share of the way to first picking at which flowers open on what bears fruit (from memory, rough).
pub const BLOOM_SHARE: f64 = 0.6;
/// What is planted in autumn is planted when the days of a fortnight come to no more than this in the mean, °C (common
/// practice, no source: garlic about the first hard frosts, so that it roots and hardly sprouts).
pub const PLANTED_BELOW_C: f64 = 10.0;
/// Days of that mean (chosen).
pub const PLANTED_DAYS: usize = 14;
/// Winter is taken from this day (chosen: 16 September, in the south 17 March) …
pub const WINTER_FROM: usize = 258;
/// … to this (chosen: 1 May, in the south 29 October).
pub const WINTER_TO: usize = 120;
/// Loose straw that is heaped over roots for the winter, m (common practice, no source: 12 to 18 inches, settling).
pub const WINTER_STRAW_M: f64 = 0.3;
/// Usual maximum below which snow stays on a cover, °C (from memory).
pub const SNOW_COLD_C: f64 = 2.0;
/// Days longer than this are long enough for cloth to lie in store, h (from memory).
pub const LONG_DAY_H: f64 = 13.0;
/// Sheets of a size, pins and clips that are more than any garden wants at once (chosen).
pub const PLENTY: u32 = 10_000;

/// Nights that the replayed plan of several nights looks ahead (chosen: whether to leave a cover on hangs on the next two).
pub const SEVERAL_NIGHTS: usize = 3;
/// Covers that it tries on a bed (chosen: as many as the plan that people use, the cheapest tonight, loss and work together).
pub const SEVERAL_NIGHTS_COVERS: usize = 4;
/// Steps of its prices on an evening that is short of something (chosen).
pub const PRICE_STEPS: u32 = 40;
