//! One test binary: the real program in its own folder, the README, the rules of the code.
#![expect(clippy::expect_used, reason = "a test says what went wrong by failing")]

mod bad_files;
mod calendar;
mod cut;
mod diary;
mod fetch;
mod harness;
mod hoops;
mod ics;
mod kit;
mod morning;
mod outputs;
mod pages;
mod program;
mod readme;
mod replay;
mod rules;
mod schema;
mod sensors;
mod state;
mod station;
mod unlikely;
mod upkeep;
mod watch;
mod year;
