//! One test binary: the planner, and the pipeline from garden and weather to a report.
#![expect(clippy::expect_used, clippy::panic, reason = "a test says what went wrong by failing")]

mod ahead;
mod cut;
mod cut_known;
mod cut_list;
mod cut_oracle;
mod harm;
mod kit;
mod plan;
mod season;
mod season_sample;
mod season_scene;
mod tonight;
mod tunnel;
mod warnings;
mod worth;
mod year;
