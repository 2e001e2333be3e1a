//! Everything in a diary as files and back: what comes out goes into an empty diary and comes out the same, byte for byte.

pub mod csv;
pub mod everything;
pub mod file_row;
mod forecast_row;
pub mod json;
pub mod note_row;
mod plan_rows;
pub mod take_in;
