//! What a hoop takes: shape, loads, strength, anchors; numbers in, numbers out.
//!
//! Start at `hoop.rs`: one hoop, and the snow and the gust that it carries.
//!
//! | module | holds |
//! |---|---|
//! | [`material`], [`section`], [`wire_gauge`], [`range`] | what rods are made of, how thick they are, how sure that is |
//! | [`shape`], [`elastica`], [`outline`] | the curve a hoop stands in |
//! | [`bending`] | yield, spring-back, formers |
//! | [`snow`], [`wind`], [`load`] | what pushes at it |
//! | [`frame`], [`chain`] | how it gives way |
//! | [`anchors`] | what holds the cloth down |
//! | [`hoop`] | the answer for one hoop |
//! | [`constants`] | every other number, with unit and source |

pub mod anchors;
mod banded_matrix;
pub mod bending;
mod bent;
pub mod chain;
pub mod constants;
pub mod elastica;
mod ellipse;
mod elliptic;
pub mod error;
pub mod frame;
pub mod hoop;
pub mod load;
pub mod material;
pub mod outline;
pub mod range;
mod roots;
pub mod section;
pub mod shape;
pub mod snow;
pub mod wind;
pub mod wire_gauge;

pub use chain::{Base, Supports, Unstressed};
pub use error::Error;
pub use frame::Frame;
pub use material::Material;
pub use section::Section;
pub use shape::{Arch, Shape};
