//! Why each bed was covered or left open.

use garden::garden::Garden;

use crate::constants::SAFE_CHANCE;
use crate::plan::{Choice, Problem};
use crate::report::{BedReport, Driver, Outcome, Reason};

/// The bed with nothing on it.
fn bare(bed: &BedReport) -> &Outcome {
    bed.bare.as_ref().unwrap_or(&bed.open)
}

/// Gives every bed the reason for its choice; `carried` are those whose pots are carried in.
pub fn give_reasons(
    beds: &mut [BedReport],
    garden: &Garden,
    problem: &Problem,
    driver: Driver,
    carried: &[usize],
) {
    let wage = garden.labour.worth_of_hour / 60.0;
    for (b, (bed, choices)) in beds.iter_mut().zip(&problem.beds).enumerate() {
        let open = bed.open.expected_loss;
        let saves = |c: &Choice| open - c.expected_loss;
        let cheapest =
            choices.iter().skip(1).min_by(|a, b| problem.cost(a).total_cmp(&problem.cost(b)));
        bed.reason = match (bed.limit_c, bed.chosen, cheapest) {
            (None, ..) => Reason::Bare,
            _ if carried.contains(&b) => Reason::CarriedIn,
            // What lies is wanted elsewhere, and the bed stands the night without it.
            (Some(limit), ..) if bed.takes_off && bare(bed).chance_of_harm < SAFE_CHANCE => {
                Reason::SafeOpen { margin_k: bare(bed).leaf_low_c.p10 - limit }
            }
            _ if bed.takes_off => Reason::StockUsedElsewhere { loss: bed.bare_loss() },
            (_, Some(c), _) => Reason::Cover { saves: saves(&choices[c + 1]), driver },
            (_, None, _) if bed.lies_at_night || bed.bare.is_some() => Reason::Lies,
            (Some(limit), None, _) if bed.open.chance_of_harm < SAFE_CHANCE => {
                Reason::SafeOpen { margin_k: bed.open.leaf_low_c.p10 - limit }
            }
            (_, None, None) => Reason::NoCoverFits,
            (_, None, Some(best)) if problem.cost(best) >= open => Reason::NotWorthIt {
                saves: saves(best).max(0.0),
                costs: wage * f64::from(best.seconds) / 60.0,
            },
            _ => Reason::StockUsedElsewhere { loss: open },
        };
    }
}
