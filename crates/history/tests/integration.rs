//! One test binary: past years replayed, the year's dates, the value of sheets.
#![expect(clippy::expect_used, reason = "a test says what went wrong by failing")]

mod forecasts;
mod kept_year;
mod replay;
mod replay_sample;
mod scene;
mod sheet_value;
mod winter_snow;
mod year;
