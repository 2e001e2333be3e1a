//! What was said of each night against what was read.

pub mod json;
pub mod svg;
pub mod text;
