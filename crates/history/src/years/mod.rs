//! Years of a station record run abreast on the grower's own beds: the one loop behind replay, year and sheet value.
//!
//! | module | holds |
//! |---|---|
//! | [`growing_season`] | when each planting grows in the open |
//! | [`batch_weather`] | sixteen years of a station record abreast, ten minutes a step |
//! | `at_risk` | what stands in each bed on each day, and how hardened |
//! | [`bed_kinds`] | beds that are the same to the physics |
//! | [`night_table`] | the table: bed kind × cover × year × night |
//! | [`simulation`] | a garden and its record, made ready |
//! | [`minimum_climate`] | what minima each day of the year knows |
//! | [`drawn_forecast`] | what the evening knew, and what the night then brought |
//! | [`night`] | one night of one year |
//! | [`batch`] | the loop: years abreast, then each on its own |
//!
//! Start at [`Simulation::new`], then [`Batch::run`] for each of [`Simulation::batches`]. The modules are public for the
//! oracle tests, which step one bed through the same weather; other rooms need the names below alone.

mod at_risk;
pub mod batch;
pub mod batch_weather;
pub mod bed_kinds;
pub mod drawn_forecast;
mod error;
pub mod growing_season;
pub mod minimum_climate;
pub mod night;
pub mod night_table;
pub mod simulation;

pub use batch::Batch;
pub use error::Error;
pub use growing_season::GrowingSeason;
pub use night_table::RunStats;
pub use simulation::Simulation;
