//! One test binary: the planner, and the pipeline from garden and weather to a report.
#![expect(clippy::expect_used, reason = "a test says what went wrong by failing")]

mod around_the_clock;
mod harm;
mod horizon;
mod horizon_oracle;
mod learned;
mod plan;
mod tonight;
mod warnings;
mod week;
mod without_cloth;
