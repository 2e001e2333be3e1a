//! One test binary: real files, malformed files, the error model.
#![expect(clippy::expect_used, clippy::panic, reason = "a test says what went wrong by failing")]

mod error_model;
mod malformed;
mod readers;
