//! What was said of each night against what was read.

pub mod svg;
