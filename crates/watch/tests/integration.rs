//! What is told and when, by itself: invented plans of one garden at 43.6° N, 90.9° W.
#![expect(clippy::expect_used, reason = "a test says what went wrong by failing")]

mod calendar;
mod decide;
mod outbox;
mod scene;
mod watcher;
