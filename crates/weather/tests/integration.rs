//! One test binary: real files, malformed files, the error model, station records, frost dates, hours out of days.
#![expect(clippy::expect_used, clippy::panic, reason = "a test says what went wrong by failing")]

mod combined;
mod damaged;
mod error_model;
mod frost;
mod hours;
mod impossible;
mod malformed;
mod measured;
mod readers;
mod station;
mod stations;
