//! The evening plan with what is owned, night by night: the second stage as it would really have been decided.

use rayon::prelude::*;

use crate::replay::nights::Table;
use crate::replay::policy_run::PolicyRun;
use crate::replay::years::Years;
use crate::replay::{Error, Policy, Replay, Season};

/// A year of the evening plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Played {
    /// The year.
    pub year: i16,
    /// What it came to.
    pub season: Season,
}

/// The years of a block by the evening plan, with so much of each stock line.
///
/// # Errors
/// [`Error::Plan`].
pub fn block(
    replay: &Replay<'_>,
    available: Vec<u32>,
    (weather, tables): (&Years, &[Table]),
) -> Result<Vec<Played>, Error> {
    let owned = replay.with_stock(available);
    (0..weather.years.len())
        .into_par_iter()
        .map(|lane| {
            let floors = Vec::new();
            let mut course = PolicyRun::new(&owned, &[], &floors);
            for night in &owned.nights(weather, tables, lane) {
                course.evening(Policy::Plan, night)?;
            }
            Ok(Played { year: weather.years[lane], season: course.season })
        })
        .collect()
}
