//! Past seasons again: every night of every year through the physics on the grower's own beds, and policies compared.
//!
//! | module | holds |
//! |---|---|
//! | [`policies`] | ways to decide, from never covering to perfect foresight |
//! | [`hindsight`] | the cheapest way through a whole season for one bed |
//! | [`policy_run`] | one policy through one year |
//! | `outcome` | money, evenings, minutes, light, heat of a year |
//! | [`score`] | the value score and its spread |
//!
//! Start at [`run_batch`]: up to sixteen years in, what every policy made of each out. [`hindsight`] and [`policy_run`] are
//! public for the oracle tests.

pub mod hindsight;
mod outcome;
pub mod policies;
pub mod policy_run;
pub mod score;

pub use outcome::{SeasonResult, Year, YearBatch};
pub use policies::{POLICIES, Policy};

use crate::years::night::Night;
use crate::years::{Batch, Error, Simulation};
use policy_run::PolicyRun;

/// Raised whenever the same inputs give other results, so that kept results are thrown away.
pub const MODEL: u32 = 2;

/// Every policy on these years: weather, nights, decisions.
///
/// # Errors
/// [`Error::Physics`], [`Error::Plan`].
pub fn run_batch(simulation: &Simulation<'_>, years: &[i16]) -> Result<YearBatch, Error> {
    let batch = Batch::run(simulation, years)?;
    let ranked = policy_run::covers_by_warmth(simulation, &batch.tables);
    let years =
        batch.each_year(simulation, |year, nights| run_year(simulation, &ranked, year, nights))?;
    Ok(YearBatch { years, stats: batch.stats() })
}

fn run_year(
    simulation: &Simulation<'_>,
    ranked: &[Vec<usize>],
    year: i16,
    nights: &[Night<'_>],
) -> Result<Year, Error> {
    let (unavoidable, bound) = policy_run::unavoidable_losses(simulation, nights);
    let mut results = Vec::new();
    for policy in POLICIES {
        let mut run = PolicyRun::new(simulation, ranked, &unavoidable);
        for night in nights {
            run.evening(policy, night)?;
        }
        results.push(run.season);
    }
    let mut counted = [0; 3];
    nights.iter().for_each(|n| n.count(&mut counted));
    Ok(Year { year, results, bound, counted })
}
