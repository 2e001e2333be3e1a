//! One test binary: the garden file, crops, fit, growth, hoops, what lies, template.
#![expect(clippy::expect_used, clippy::panic, reason = "a test says what went wrong by failing")]

mod crops;
mod damaged;
mod fit;
mod growth;
mod hardening;
mod hoops;
mod lying;
mod malformed;
mod own_crops;
mod rows;
mod schema;
mod template;
mod tunnel;
mod wear;
