//! Every night of one bed: open, and under each cover that fits.

use garden::garden::Garden;
use microclimate::lanes::Lanes;
use microclimate::{Forcing, State};

use crate::ensemble::Ensemble;
use crate::error::Error;
use crate::night::{BedSimulation, Coldest};
use crate::physics;
use crate::report::{BedReport, OptionReport, Reason, Spread, TemperatureSeries};
use crate::steps::{NightSteps, at_step};

/// Every night of one bed.
pub struct BedNights {
    /// State of the bed when covers go on, batch by batch.
    pub evening: Vec<State<Lanes>>,
    /// Left open.
    pub open: Coldest,
    /// Under each cover that fits.
    pub covered: Vec<Coldest>,
    /// Greatest budget residual, W/m².
    pub residual: f64,
    /// Nights simulated, covers alike counted once.
    pub runs: usize,
}

/// Runs the nights of one bed; covers that differ only in size are run once.
///
/// # Errors
/// [`Error::Physics`].
pub fn simulate(
    garden: &Garden,
    simulation: &BedSimulation<'_>,
    ensemble: &Ensemble,
    before: &[Forcing<Lanes>],
    soil_sigma_k: f64,
    steps: &NightSteps,
) -> Result<BedNights, Error> {
    let spun = simulation.spin_up(garden, before)?;
    let evening = simulation.evening(garden, ensemble, &spun, soil_sigma_k, steps)?;
    let open = simulation.night(garden, ensemble, &evening, None, steps)?;
    let covers: Vec<_> =
        simulation.fits.iter().map(|f| physics::cover(f, simulation.garden_bed)).collect();
    // Sheets that differ only in size make the same night: each kind of night runs once.
    let mut kinds: Vec<(&microclimate::Cover, Coldest)> = Vec::new();
    for cover in &covers {
        if !kinds.iter().any(|k| k.0 == cover) {
            kinds.push((cover, simulation.night(garden, ensemble, &evening, Some(cover), steps)?));
        }
    }
    let covered: Vec<Coldest> = covers
        .iter()
        .filter_map(|c| kinds.iter().find(|k| k.0 == c).map(|k| k.1.clone()))
        .collect();
    let residual = kinds.iter().map(|k| k.1.residual).fold(open.residual, f64::max);
    let runs = 1 + kinds.len();
    Ok(BedNights { evening, open, covered, residual, runs })
}

/// One bed of the report, before anything is chosen for it.
pub fn bed_report(
    simulation: &BedSimulation<'_>,
    nights: &BedNights,
    steps: &NightSteps,
) -> BedReport {
    let gain = |a: &[f64], b: &[f64]| {
        Spread::from_sample(&a.iter().zip(b).map(|(x, y)| x - y).collect::<Vec<_>>())
    };
    let options = simulation
        .fits
        .iter()
        .zip(&nights.covered)
        .map(|(fit, cold)| OptionReport {
            cover: fit.clone(),
            outcome: simulation.outcome(cold, steps),
            leaf_gain_k: gain(&cold.tissue, &nights.open.tissue),
            air_gain_k: gain(&cold.air, &nights.open.air),
        })
        .collect();
    let at_risk = simulation.most_at_risk(&nights.open);
    BedReport {
        bed: simulation.garden_bed.name.clone(),
        planting: at_risk.map_or_else(String::new, |s| {
            physics::planting_words(&simulation.garden_bed.plantings[s.planting])
        }),
        limit_c: at_risk.map(|s| s.limits.t10_c),
        open: simulation.outcome(&nights.open, steps),
        chosen: None,
        options,
        reason: Reason::Bare,
        open_temperatures: TemperatureSeries::from_members(
            at_step(steps.start, steps.cover),
            &nights.open.half_hours,
        ),
        covered_temperatures: None,
        in_soil: simulation.all_in_soil(),
    }
}
