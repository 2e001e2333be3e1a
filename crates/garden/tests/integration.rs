//! One test binary: the garden file, crops, fit, hoops, template.
#![expect(clippy::expect_used, clippy::panic, reason = "a test says what went wrong by failing")]

mod crops;
mod fit;
mod hoops;
mod malformed;
mod rows;
mod template;
