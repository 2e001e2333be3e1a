//! The evening plan with what is owned, night by night: the second stage as it would really have been decided.

use crate::replay::policy_run::PolicyRun;
use crate::replay::{Policy, SeasonResult};
use crate::years::{Batch, Error, Simulation};

/// What the years of a batch come to by the evening plan, with so much of each stock line.
///
/// # Errors
/// [`Error::Plan`].
pub fn seasons(
    simulation: &Simulation<'_>,
    available: Vec<u32>,
    batch: &Batch,
) -> Result<Vec<SeasonResult>, Error> {
    let owned = simulation.with_stock(available);
    let unavoidable = Vec::new();
    batch.each_year(&owned, |_, nights| {
        let mut run = PolicyRun::new(&owned, &[], &unavoidable);
        for night in nights {
            run.evening(Policy::Plan, night)?;
        }
        Ok(run.season)
    })
}
