//! What every room shares: moments, places, units, one hour of weather, moist air, the sun, quantiles.
//!
//! This room imports no other. Every temperature, length or flux carries its
//! unit in its name; what a source did not say is `None`, never a number.
//!
//! | module | holds |
//! |---|---|
//! | [`time`] | [`Moment`], [`Interval`]: seconds since 1970 in UTC, half-open intervals |
//! | [`place`] | [`Place`]: latitude, longitude, elevation |
//! | [`units`] | conversions between the grower's units and SI, and [`UnitSystem`] |
//! | [`weather_hour`] | [`WeatherHour`]: one hour, each quantity optional, with its meaning and origin |
//! | [`fault`] | [`Fault`]: whether an error is the grower's to mend or a bug of ours |
//! | [`bounds`] | the least and greatest believable value of each weather quantity |
//! | [`moist_air`] | saturation vapour pressure, dew point, wet bulb, air pressure |
//! | [`sun`], [`daylight`] | where the sun is at a moment; the sun of a whole day |
//! | [`quantile`] | quantiles, mean and standard deviation of a sample |
//! | [`constants`] | numbers that several rooms compute with |

pub mod bounds;
pub mod constants;
pub mod daylight;
pub mod fault;
pub mod moist_air;
pub mod place;
pub mod quantile;
pub mod sun;
pub mod time;
pub mod units;
pub mod weather_hour;

pub use fault::Fault;
pub use place::Place;
pub use time::{Interval, Moment};
pub use units::UnitSystem;
pub use weather_hour::{Meaning, Origin, Reading, WeatherHour};
