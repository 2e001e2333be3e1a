//! One test binary: cut lists and kits against brute force, published examples and every small case.
#![expect(clippy::expect_used, clippy::panic, reason = "a test says what went wrong by failing")]

mod cut;
mod cut_known;
mod cut_list;
mod cut_oracle;
mod kit;
