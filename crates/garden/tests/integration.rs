//! One test binary: the garden file, crops, fit, growth, hoops, what lies, template.
#![expect(clippy::expect_used, clippy::panic, reason = "a test says what went wrong by failing")]

mod crops;
mod fit;
mod growth;
mod hoops;
mod lying;
mod malformed;
mod rows;
mod schema;
mod template;
mod tunnel;
