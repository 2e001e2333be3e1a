//! One night under one cover: sun, long-wave, moist air, exchange, cover, canopy, soil, budget.
//!
//! Start at `step.rs`: it reads in the order of the physics. [`step()`] runs it. Everything per member is generic over
//! [`real::Real`], so that the same lines compute one night or many side by side.
//!
//! | module | holds |
//! |---|---|
//! | [`bed`], [`cover`], [`draws`], [`forcing`], [`state`] | what goes in and what is remembered |
//! | [`sun`], [`sky`] | where the sun is; long-wave and sunlight of the sky |
//! | [`stack`], [`radiation`] | radiation between ground, leaves and cover |
//! | [`exchange`] | wind, convection, air change |
//! | [`moist_air`], [`water`] | vapour, dew, condensation |
//! | [`soil`], [`soil_properties`] | heat in the ground, freezing |
//! | [`site`], [`surface`], `step`, [`budget`] | the coupled balance of one step and its books |
//! | [`parameters`], [`constants`] | every number, with unit and source |
//! | [`real`], `double`, [`lanes`] | one number or many at once |

pub mod bed;
pub mod budget;
pub mod column;
pub mod constants;
pub mod cover;
mod dispatch;
mod double;
pub mod draws;
pub mod error;
pub mod exchange;
pub mod forcing;
pub mod lanes;
pub mod moist_air;
pub mod parameters;
pub mod radiation;
pub mod real;
pub mod site;
pub mod sky;
pub mod soil;
pub mod soil_properties;
pub mod stack;
pub mod state;
mod step;
pub mod sun;
pub mod surface;
pub mod water;

pub use bed::Bed;
pub use cover::Cover;
pub use dispatch::step;
pub use draws::Draws;
pub use error::Error;
pub use forcing::Forcing;
pub use site::Site;
pub use state::State;
