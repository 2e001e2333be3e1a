//! One test binary: published vectors, laws of physics, numbers side by side.

mod lanes;
mod laws;
mod scene;
mod vectors;
