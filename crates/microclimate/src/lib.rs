//! One night under one cover: radiation, convection, infiltration, latent heat, soil, energy budget.
//!
//! Start at `step.rs`: it reads in the order of the physics. [`step()`] runs it. Everything per member is generic over
//! [`real::Real`], so that the same lines compute one night or many side by side. Symbols: `docs/nomenclature.md`.
//!
//! | module | holds |
//! |---|---|
//! | [`bed`], [`cover`], [`draws`], [`forcing`], [`state`], [`site`] | what goes in and what is remembered |
//! | [`sky`] | long-wave and sunlight of the sky |
//! | [`black_body`], [`radiosity`], [`radiation`] | radiation between ground, leaves and cover |
//! | [`canopy`] | what follows from height, density and leaf size of the plants |
//! | [`convection`], [`surface_layer`], [`infiltration`] | boundary layers, the air above, air through cloth and gaps |
//! | [`conductances`] | these three put together for one step |
//! | [`saturation`], [`latent_heat`] | vapour, dew, frost, films of water |
//! | [`soil`], [`mod@column`], [`soil_properties`] | heat in the ground, freezing |
//! | [`energy_balance`], `step`, [`budget`] | the coupled balance of one step and its books |
//! | [`parameters`], [`constants`] | every number, with unit and source |
//! | [`real`], `double`, [`lanes`], `dispatch`, `written_out` | one number or many at once |

pub mod bed;
pub mod black_body;
pub mod budget;
pub mod canopy;
pub mod column;
pub mod conductances;
pub mod constants;
pub mod convection;
pub mod cover;
mod dispatch;
mod double;
pub mod draws;
pub mod energy_balance;
pub mod error;
pub mod forcing;
pub mod infiltration;
pub mod lanes;
pub mod latent_heat;
pub mod parameters;
pub mod radiation;
pub mod radiosity;
pub mod real;
pub mod saturation;
pub mod site;
pub mod sky;
pub mod soil;
pub mod soil_properties;
pub mod state;
mod step;
pub mod surface_layer;
mod written_out;

pub use bed::Bed;
pub use cover::Cover;
pub use dispatch::{Stepped, step};
pub use draws::Draws;
pub use error::Error;
pub use forcing::Forcing;
pub use site::{Site, SnowOnCover};
pub use state::State;
pub use step::advance;
