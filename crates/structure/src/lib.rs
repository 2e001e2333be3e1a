//! What a hoop takes: shape, loads, strength, anchors; numbers in, numbers out.
//!
//! Start at `stand.rs`: one hoop, and the snow and the gust that it carries.
//!
//! | module | holds |
//! |---|---|
//! | [`material`], [`section`], [`gauge`], [`range`] | what rods are made of, how thick they are, how sure that is |
//! | [`shape`], [`elastica`], [`outline`] | the curve a hoop stands in |
//! | [`bending`] | yield, spring-back, formers |
//! | [`snow`], [`wind`], [`load`] | what pushes at it |
//! | [`frame`], [`chain`] | how it gives way |
//! | [`anchors`] | what holds the cloth down |
//! | [`stand`] | the answer for one hoop |

pub mod anchors;
mod band;
pub mod bending;
mod bent;
pub mod chain;
pub mod elastica;
mod ellipse;
mod elliptic;
pub mod error;
pub mod frame;
pub mod gauge;
pub mod load;
pub mod material;
pub mod outline;
pub mod range;
mod roots;
pub mod section;
pub mod shape;
pub mod snow;
pub mod stand;
pub mod wind;

pub use chain::{Base, Held, Rest};
pub use error::Error;
pub use frame::Frame;
pub use material::Material;
pub use section::Section;
pub use shape::{Arch, Shape};
