//! Sheets from rolls of cloth, cut straight across and then slit along, never tilted and never joined.

mod cut;
mod layout;
mod verify;

pub use cut::cut;
pub use layout::{CutRoll, Demand, Layout, Place, Roll, Strip};
pub use verify::verify;
