//! Hoops from rolls of wire.

mod cut;
mod layout;
mod verify;

pub use cut::cut;
pub use layout::{CutRoll, Demand, Layout, Piece, Roll};
pub use verify::verify;
