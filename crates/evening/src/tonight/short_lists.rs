//! The best that can be done with less time.

use milp::Solver;

use crate::constants::SHORT_LISTS_S;
use crate::error::Error;
use crate::plan::{self, Plan, Problem};
use crate::report::ShortList;

/// A plan for each number of person-seconds that is clearly less than the full plan takes, what saves most first.
///
/// # Errors
/// [`Error::Plan`].
pub fn short_lists(
    problem: &Problem,
    solver: &dyn Solver,
    plan: &Plan,
) -> Result<Vec<ShortList>, Error> {
    let less: Vec<u32> =
        SHORT_LISTS_S.into_iter().filter(|s| f64::from(*s) < 0.9 * plan.seconds as f64).collect();
    let lists = plan::short_lists(problem, solver, plan, &less)?;
    Ok(lists
        .into_iter()
        .map(|(seconds, p)| {
            let mut done: Vec<(usize, usize)> = p
                .choice
                .iter()
                .enumerate()
                .filter_map(|(bed, c)| Some((bed, c.checked_sub(1)?)))
                .collect();
            let saved = |&(bed, option): &(usize, usize)| {
                let c = &problem.beds[bed];
                c[0].expected_loss - c[option + 1].expected_loss
            };
            done.sort_by(|a, b| saved(b).total_cmp(&saved(a)));
            ShortList {
                minutes: f64::from(seconds) / 60.0,
                beds: done.iter().map(|d| d.0).collect(),
                options: done.iter().map(|d| d.1).collect(),
                expected_loss: p.expected_loss,
            }
        })
        .collect())
}
