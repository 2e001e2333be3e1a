//! What was said, kept as it was said: forecasts as they were read, plans as they were made.

pub mod forecasts;
pub mod plans;
pub mod record;

pub use forecasts::KeptForecast;
pub use plans::{Plan, Said};
pub use record::{forecast, plan};
