//! How fast crops come on: degree-days, light, bolting, fruit set, winter, and the insects that nets keep off.
//!
//! A crop's degree-days are made from its usual days and the mean temperature at which those days hold, so a sum is
//! never surer than the days. The numbers live in `table.toml` and `pests.toml`, with their sources; nearly all are
//! from memory and rough, and two plants of one sowing differ by more than a tenth.
//!
//! ```
//! use garden::{crops, growth};
//! let bean = growth::crop_growth(crops::find("snap bean").expect("it is in the table")).expect("it grows");
//! let day = growth::Day { tmin_c: Some(14.0), tmax_c: Some(26.0), day_length_h: 15.0, light_share: 1.0 };
//! let progress = growth::walk(&bean, growth::Start::Sown, &[day; 120]).expect("beans are sown");
//! let first = progress.first_picking.expect("within the days");
//! assert!((50..=60).contains(&(first + 1)));
//! ```
//!
//! | module | holds |
//! |---|---|
//! | [`mod@degree_days`] | degree-days of one day |
//! | [`light`] | what short days and dim light take |
//! | [`pests`] | insects that nets keep off, and when they fly |
//! | here | [`Growth`] of a crop; [`walk`] over days; [`Shelter`] |

pub mod degree_days;
mod habit;
pub mod light;
pub mod pests;
mod progress;
mod table;

pub use degree_days::{Method, degree_days};
pub use habit::{Bolting, Carry, Growth, Spell, Start, crop_growth};
pub use progress::{Day, Progress, Shelter, walk};
