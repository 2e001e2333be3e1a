//! One test binary: files of loggers, single readings, which of them are believed, the low of a night.
#![expect(clippy::expect_used, reason = "a test says what went wrong by failing")]

mod guard;
mod logger;
mod night;
mod single;
