//! Every number of this crate that is chosen or taken from elsewhere, in one table, with its source.

use weather::constants::MEMORY_H;

/// Hours without air temperature that may be bridged by a straight line (half the memory of a forecast's error).
pub const LONGEST_GAP_H: i64 = (MEMORY_H / 2.0) as i64;

/// Days of weather before the question that bring the soil to its temperature (from memory).
pub const SPIN_UP_DAYS: i64 = 10;
/// Doubt about the soil's warmth when the days before are known, K (from memory).
pub const SOIL_SIGMA_KNOWN_K: f64 = 0.7;
/// Doubt about the soil's warmth when the days before are not known, K (from memory).
pub const SOIL_SIGMA_GUESSED_K: f64 = 2.0;

/// The night ends this long after sunrise, s (chosen: tissue is coldest at sunrise).
pub const NIGHT_ENDS_AFTER_SUNRISE_S: i64 = 2 * 3600;
/// Work is timed to be done this long before the tissue reaches its limit, s (chosen).
pub const DONE_BEFORE_LIMIT_S: i64 = 1800;
/// Work that ends this long after its time is not called late, s (chosen: no plan of minutes is truer).
pub const SLACK_S: i64 = 300;
/// Person-seconds for which short lists are made (chosen: ten minutes to an hour).
pub const SHORT_LISTS_S: [u32; 4] = [600, 1200, 2400, 3600];
/// Person-minutes to take a cover off, as a share of those to lay it (from memory: pins are pulled, not set).
pub const TAKE_OFF_SHARE: f64 = 0.5;
/// Person-minutes to open a cover's ends (from memory).
pub const OPEN_ENDS_MIN: f64 = 1.0;
/// Work by lamp takes this many times as long (from memory).
pub const DARK_TIMES: f64 = 2.0;
/// From now until the first cover laid in the dark keeps warm, s (from memory: to dress, fetch and walk).
pub const LAID_AFTER_S: i64 = 900;
/// What is laid within this long before sunset is for the night, s (chosen); what lies longer was for the day too.
pub const FOR_TONIGHT_S: i64 = 5 * 3600;
/// Less than this before sunset nothing is taken off for light or bees, s (chosen).
pub const DAY_IS_OVER_S: i64 = 3 * 3600;
/// Money below which what a day under a cover costs is not told (chosen).
pub const WORTH_A_WORD: f64 = 0.5;
/// So long after sunrise it is morning, s (chosen).
pub const MORNING_S: i64 = 4 * 3600;
/// So long before sunrise it is the end of the night, s (chosen).
pub const BEFORE_DAWN_S: i64 = 3 * 3600;
/// Share of the harm a cover leaves from which it is said that it will not save the plants (chosen: half).
pub const WILL_NOT_SAVE: f64 = 0.5;
/// Share of a bed's worth expected to be lost, the plan followed, from which what is ripe is picked (chosen: a quarter).
pub const LOST_ANYWAY: f64 = 0.25;
/// Dry soil is watered until this long after solar noon, s (common practice, no source: by early afternoon, so that the sun
/// still warms what was wetted).
pub const WATER_AFTER_NOON_S: i64 = 5400;
/// Person-minutes to water a square metre, ten to twenty litres (from memory).
pub const WATER_MINUTES_A_M2: f64 = 0.5;
/// Person-minutes to carry a pot in, and out again (from memory).
pub const POT_MINUTES: f64 = 1.0;
/// Walking pace with an armful of cloth, m/min (from memory).
pub const WALKING_PACE_M_MIN: f64 = 50.0;
/// Person-minutes of walking and fetching that each worked bed is charged in the plan (from memory).
pub const WALK_MINUTES: f64 = 1.0;

/// Mean wind of a night from which wind sets it, m/s (from memory: a gentle breeze at the garden).
pub const WINDY_M_S: f64 = 4.5;
/// Mean wind below which a night is calm, m/s (from memory).
pub const CALM_M_S: f64 = 3.0;
/// Mean cloud from which cloud sets a night (from memory: six eighths).
pub const CLOUDY: f64 = 0.7;
/// Mean cloud below which a night is clear (from memory: under three eighths).
pub const CLEAR: f64 = 0.35;
/// A bed whose chance of harm is below this is safe in the open (chosen: one night in ten).
pub const SAFE_CHANCE: f64 = 0.1;

/// Air temperature at which honeybees fly, °C (10 to 13, from memory; orchard and bumblebees earlier).
pub const BEES_FLY_C: f64 = 10.0;
/// Sunlight in which film cooks what is under it, whatever the air outside, W/m² (common practice, no source: from memory).
pub const SUN_ON_FILM_W_M2: f64 = 250.0;
/// The frost outside is over when the air is this far above the limit, K (chosen; in full light a leaf in the open is no
/// colder than the air).
pub const FROST_OVER_K: f64 = 1.0;
/// Of the sixteen soil classes, driest first, the one that decides the morning (chosen: rather dry, so that it warms early).
pub const MORNING_LANE: usize = 4;

/// Loose straw or leaves conduct .05 to .15 W/m K with the air that moves in them (from memory).
pub const LOOSE_STRAW_W_M_K: f64 = 0.12;
/// Gap left under a pinned skirt, m (from memory: a few millimetres on average).
pub const SKIRT_GAP_M: f64 = 0.003;

/// Days before whose cold and warmth plants still show, at most (from memory: winter wheat is hardened in six weeks or so).
pub const MEMORY_DAYS: i64 = 60;
/// Share of a planting lost from which it is harm: a tenth (chosen: T10 is published).
pub const HARM_SHARE: f64 = 0.1;
/// Steps in which fully hardened leaves freeze through: 80 minutes (canola, PMC519078 table I).
pub const STEPS_TO_FREEZE_HARDENED: usize = 8;
/// Chill gathers below this, °C: cucumber's respiration breaks there (Minchin & Simon 1973, abstract), basil is harmed below
/// it, the frost handbook of FAO has about 12.5.
pub const CHILL_BELOW_C: f64 = 12.0;
/// Hours above in which a dose of chill falls by a factor e (cucumber recovers in warmth from 1 to 2 days of it; rough).
pub const CHILL_FORGOTTEN_H: f64 = 24.0;
