//! One test binary: programs worked by hand or known from textbooks, and every small case.
#![expect(clippy::expect_used, reason = "a test says what went wrong by failing")]

mod integers;
mod linear;
