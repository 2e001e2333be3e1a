//! Every night of one bed: open, and under each cover that fits.

use garden::fit::Cover as Fit;
use garden::garden::Garden;
use garden::lying::Lying;
use microclimate::Forcing;
use microclimate::lanes::Lanes;

use crate::ensemble::Ensemble;
use crate::error::Error;
use crate::learned::Learned;
use crate::night::{BedSimulation, Coldest, SoFar};
use crate::physics;
use crate::report::{Action, BedReport, OptionReport, Reason, Spread, TemperatureSeries};
use crate::steps::{NightSteps, at_step};
use crate::tonight::taught_cover;

/// Every night of one bed.
pub struct BedNights {
    /// State of the bed when covers go on, batch by batch, and the cold since sunset.
    pub evening: Vec<SoFar>,
    /// Left as it lies.
    pub open: Coldest,
    /// What lies taken off; `None` where nothing lies.
    pub bare: Option<Coldest>,
    /// The changes that can be made: what is done, the cover's place among those that fit, minutes by day.
    pub changes: Vec<(Action, usize, f64)>,
    /// The night after each change.
    pub covered: Vec<Coldest>,
    /// How far what was taught moved the air as it lies, and under each change, K.
    pub open_taught_k: f64,
    /// By change.
    pub taught_k: Vec<f64>,
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
    learned: &Learned<'_>,
) -> Result<BedNights, Error> {
    let spun = simulation.spin_up(garden, before, steps.start)?;
    let evening = simulation.evening(garden, ensemble, &spun, soil_sigma_k, steps)?;
    let run = |cover, anew| simulation.night(garden, ensemble, &evening, cover, anew, steps);
    let left = simulation.lies.through_the_night();
    let mut open = run(left, false)?;
    let bare = left.map(|_| run(None, false)).transpose()?;
    let mut open_taught_k = 0.0;
    if let (Some(bare), Some(lies)) = (&bare, simulation.lies.main.as_ref())
        && let Some(lesson) = learned.cover(&lies.cover)
    {
        open_taught_k = taught_cover::teach(&mut open, bare, lesson, ensemble);
    }
    let change = |(n, fit)| {
        let (action, minutes) = simulation.lies.change_to(fit)?;
        Some((action, n, minutes))
    };
    let changes: Vec<(Action, usize, f64)> =
        simulation.fits.iter().enumerate().filter_map(change).collect();
    let covers: Vec<_> = changes
        .iter()
        .map(|c| physics::cover(&simulation.fits[c.1], simulation.garden_bed))
        .collect();
    // Sheets that differ only in size make the same night: each kind of night runs once.
    let mut kinds: Vec<(&microclimate::Cover, Coldest)> = Vec::new();
    for cover in &covers {
        if !kinds.iter().any(|k| k.0 == cover) {
            kinds.push((cover, run(Some(cover), true)?));
        }
    }
    let mut covered: Vec<Coldest> = covers
        .iter()
        .filter_map(|c| kinds.iter().find(|k| k.0 == c).map(|k| k.1.clone()))
        .collect();
    let uncovered = bare.as_ref().unwrap_or(&open);
    let taught_k = changes
        .iter()
        .zip(&mut covered)
        .map(|(change, cold)| {
            let lesson = learned.cover(&simulation.fits[change.1]);
            lesson.map_or(0.0, |l| taught_cover::teach(cold, uncovered, l, ensemble))
        })
        .collect();
    let others = kinds.iter().map(|k| k.1.residual).chain(bare.as_ref().map(|b| b.residual));
    let residual = others.fold(open.residual, f64::max);
    let runs = 1 + kinds.len() + usize::from(bare.is_some());
    Ok(BedNights { evening, open, bare, changes, covered, open_taught_k, taught_k, residual, runs })
}

/// One bed of the report, before anything is chosen for it; work takes `times` as long as by day.
pub fn bed_report(
    simulation: &BedSimulation<'_>,
    nights: &BedNights,
    steps: &NightSteps,
    lies: &[Lying],
    times: f64,
) -> BedReport {
    let gain = |a: &[f64], b: &[f64]| {
        Spread::from_sample(&a.iter().zip(b).map(|(x, y)| x - y).collect::<Vec<_>>())
    };
    let options = nights
        .changes
        .iter()
        .zip(nights.covered.iter().zip(&nights.taught_k))
        .map(|(&(action, n, minutes), (cold, taught_k))| OptionReport {
            action,
            taught_k: *taught_k,
            cover: Fit { minutes: times * minutes, ..simulation.fits[n].clone() },
            outcome: simulation.outcome(cold, steps),
            leaf_gain_k: gain(&cold.tissue, &nights.open.tissue),
            air_gain_k: gain(&cold.air, &nights.open.air),
        })
        .collect();
    let at_risk = simulation.most_at_risk(&nights.open);
    let so_far = simulation.so_far(&nights.evening);
    BedReport {
        bed: simulation.garden_bed.name.clone(),
        planting: at_risk.map_or_else(String::new, |s| {
            physics::planting_words(&simulation.garden_bed.plantings[s.planting])
        }),
        limit_c: at_risk.map(|s| s.limits.t10_c),
        lies: lies.to_vec(),
        lies_at_night: simulation.lies.at_night().is_some_and(|(l, _)| l.against_cold()),
        open: simulation.outcome(&nights.open, steps),
        worth: simulation.at_risk.iter().map(|p| p.worth).sum(),
        lost_so_far: so_far.map_or(0.0, |c| simulation.outcome(&c, steps).expected_loss),
        taught_k: nights.open_taught_k,
        bare: nights.bare.as_ref().map(|c| simulation.outcome(c, steps)),
        chosen: None,
        takes_off: false,
        options,
        reason: Reason::Bare,
        open_temperatures: TemperatureSeries::from_members(
            at_step(steps.start, steps.watched),
            &nights.open.half_hours,
        ),
        covered_temperatures: None,
        in_soil: simulation.all_in_soil(),
    }
}
