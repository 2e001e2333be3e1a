//! One test binary: published tables, closed forms, laws that must hold.
#![expect(clippy::expect_used, reason = "a test says what went wrong by failing")]

mod anchors;
mod bending;
mod frame;
mod hoop;
mod laws;
mod loads;
mod sections;
mod shapes;
