//! Tests of the learning.

#![allow(
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

mod cover;
mod evening;
mod lessons;
mod student;
