//! One bed with one cover through one year, covered on the evenings that call for it.

use crate::years::Simulation;
use crate::years::night::{Information, Night};
use evening::night::PlantingAtRisk;

/// What one cover did for one bed in one year.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CoverUse {
    /// Loss left open less loss with the cover, less the worth of the work, money.
    pub saves: f64,
    /// Days (places in the batch) on whose evenings it was laid.
    pub evenings: Vec<usize>,
}

/// A cover on a bed, through the nights of one year.
///
/// It is laid where the expected loss under it and its work come to less than the expected loss left open, as the forecast
/// of that evening has them; harm is then as the night came, and what is lost stays lost.
/// Checked by `sheet_value::a_bed_with_one_cover_is_the_evening_plan_with_that_cover_alone`.
/// Equation 59 of docs/science.md.
#[must_use]
pub fn through_year(
    simulation: &Simulation<'_>,
    nights: &[Night<'_>],
    bed: usize,
    choice: usize,
) -> CoverUse {
    let open = walk(simulation, nights, bed, None);
    let with = walk(simulation, nights, bed, Some(choice));
    let work = labour(simulation, bed, choice) * with.1.len() as f64;
    CoverUse { saves: open.0 - with.0 - work, evenings: with.1 }
}

/// SheetValue of laying a choice once, money.
fn labour(simulation: &Simulation<'_>, bed: usize, choice: usize) -> f64 {
    let seconds = choice.checked_sub(1).and_then(|c| simulation.beds[bed].seconds.get(c)).copied();
    simulation.garden.labour.worth_of_hour / 3600.0 * f64::from(seconds.unwrap_or(0))
}

/// Money lost, and the evenings on which the choice was laid.
fn walk(
    simulation: &Simulation<'_>,
    nights: &[Night<'_>],
    bed: usize,
    choice: Option<usize>,
) -> (f64, Vec<usize>) {
    let mut lost = vec![0.0_f64; simulation.garden.beds[bed].plantings.len()];
    let (mut money, mut evenings) = (0.0, Vec::new());
    for night in nights.iter().filter(|n| n.matters[bed]) {
        let mut laid = 0;
        if let Some(choice) = choice {
            let gone = |s: &PlantingAtRisk| lost[s.planting];
            let expected = |c: usize| night.loss(bed, c, &gone, Information::Forecast);
            if expected(choice) + labour(simulation, bed, choice) < expected(0) {
                laid = choice;
                evenings.push(night.d);
            }
        }
        for planting in &night.at_risk[bed] {
            let more = (night.true_share(bed, laid, planting) - lost[planting.planting]).max(0.0);
            money += planting.worth * more;
            lost[planting.planting] += more;
        }
    }
    (money, evenings)
}
