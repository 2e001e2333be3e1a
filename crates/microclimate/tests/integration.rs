//! One test binary: published vectors, laws of physics, numbers side by side.
#![expect(clippy::panic, reason = "a test says what went wrong by failing")]

mod lanes;
mod laws;
mod scene;
mod second;
mod vectors;
