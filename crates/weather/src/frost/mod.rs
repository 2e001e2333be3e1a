//! Dates of the last spring and first autumn frost: how likely, how sure, and whether they move.
//!
//! An event is a minimum *at or below* the threshold (the published standard of NOAA's climate normals: ≤ 32 °F).
//! The unit of counting is the cold season, from 1 August to 31 July (1 February to 31 January south of the equator):
//! it holds the first event of its autumn and the last of its spring. Days are numbered on a calendar of 365 days
//! from the start of the cold season; 29 February counts as 28 February.
//!
//! Two questions are kept apart everywhere:
//! *conditional*: "in years that freeze at all, when?" and *unconditional*: "what is the chance that it freezes after
//! this date?", which includes the years that never reach the threshold (Thom's mixed distribution).
//!
//! ```
//! # let mut csv = String::from("date,tmin_c,tmax_c\n");
//! # for y in 1990..2000 { for d in 1..=28 { for m in 1..=12 {
//! #   let cold = if m < 4 || (m == 4 && d < y - 1980) || m > 9 { -1 } else { 5 };
//! #   csv += &format!("{y}-{m:02}-{d:02},{cold},20\n"); } } }
//! # let record = weather::station::read(csv.as_bytes())?;
//! use weather::frost::{FrostDates, Method};
//! let dates = FrostDates::from_record(&record, 0.0, 45.0);
//! let half = dates.last_spring.conditional(0.5, Method::Empirical).expect("it freezes here");
//! let (month, day) = dates.last_spring.month_day(half);
//! assert_eq!((month, day), (4, 14));
//! # Ok::<(), weather::ReadError>(())
//! ```

pub mod bootstrap;
mod dates;
mod filled;
mod hemisphere;
mod lengths;
pub mod normal;
mod seasons;
pub mod trend;

pub use bootstrap::Interval;
pub use dates::{Dates, Event, Method, Standing, Which};
pub use hemisphere::Hemisphere;
pub use lengths::Lengths;
pub use seasons::FrostDates;
