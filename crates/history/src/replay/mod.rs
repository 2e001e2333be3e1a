//! Past seasons again: every night of every year through the physics on the grower's own beds, and policies compared.
//!
//! | module | holds |
//! |---|---|
//! | [`policies`] | ways to decide, from never covering to perfect foresight |
//! | [`hindsight`] | the cheapest way through a whole season for one bed |
//! | [`policy_run`] | one policy through one year |
//! | `outcome` | money, evenings, minutes, light, heat of a year |
//! | [`several_nights`] | the plan of several nights on one of its evenings |
//! | [`score`] | the value score and its spread |
//!
//! Start at [`run_batch`]: up to sixteen years in, what every policy made of each out. [`hindsight`], [`policy_run`]
//! and [`several_nights`] are public for the oracle tests.

pub mod hindsight;
mod outcome;
pub mod policies;
pub mod policy_run;
pub mod score;
pub mod several_nights;

pub use outcome::{DrawnYear, SeasonResult, Year, YearBatch};
pub use policies::{POLICIES, Policy};

use crate::years::night::Night;
use crate::years::{Batch, Error, Simulation};
use policy_run::PolicyRun;
use rayon::prelude::*;

/// Raised whenever the same inputs give other results, so that kept results are thrown away.
pub const MODEL: u32 = 8;

/// Every policy on these years: weather, nights, decisions. The nights are run once; each of `draws` draws of the errors
/// decides and reaps on the same nights. `told` is called after each part of the work: a kind of bed, then a year of one draw.
///
/// # Errors
/// [`Error::Physics`], [`Error::Plan`].
pub fn run_batch(
    simulation: &Simulation<'_>,
    years: &[i16],
    draws: u32,
    told: &(dyn Fn() + Sync),
) -> Result<YearBatch, Error> {
    let batch = Batch::run(simulation, years, told)?;
    let ranked = policy_run::covers_by_warmth(simulation, &batch.tables);
    let lanes = batch.weather.years.len();
    let each: Vec<(DrawnYear, [u32; 3])> = (0..lanes * draws as usize)
        .into_par_iter()
        .map(|i| {
            let (lane, draw) = (i / draws as usize, (i % draws as usize) as u32);
            run_year(simulation, &ranked, &batch.nights(simulation, lane, draw)).inspect(|_| told())
        })
        .collect::<Result<_, Error>>()?;
    let mut each = each.into_iter();
    let years = batch
        .weather
        .years
        .iter()
        .map(|year| {
            let (draws, counted): (Vec<DrawnYear>, Vec<[u32; 3]>) =
                each.by_ref().take(draws as usize).unzip();
            Year { year: *year, draws, counted: counted.first().copied().unwrap_or_default() }
        })
        .collect();
    Ok(YearBatch { years, stats: batch.stats() })
}

fn run_year(
    simulation: &Simulation<'_>,
    ranked: &[Vec<usize>],
    nights: &[Night<'_>],
) -> Result<(DrawnYear, [u32; 3]), Error> {
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
    Ok((DrawnYear { results, bound }, counted))
}
