//! What the planner chooses from: every bed left open or under each cover that fits, the stock and the minutes.

use garden::garden::Garden;

use crate::plan::{Choice, Problem, stock};
use crate::report::BedReport;

/// The plan's problem over the lines of the stock.
pub fn problem(garden: &Garden, beds: &[BedReport]) -> Problem {
    let lines = stock::lines(garden);
    let choices = |bed: &BedReport| {
        let open = Choice { expected_loss: bed.open.expected_loss, seconds: 0, uses: Vec::new() };
        std::iter::once(open)
            .chain(bed.options.iter().map(|o| Choice {
                expected_loss: o.outcome.expected_loss,
                seconds: stock::seconds(&o.cover),
                uses: stock::uses(&o.cover, &lines),
            }))
            .collect()
    };
    let labour = &garden.labour;
    Problem {
        beds: beds.iter().map(choices).collect(),
        available: lines.into_iter().map(|l| l.1).collect(),
        seconds: (60.0 * f64::from(labour.people) * labour.minutes_each) as u32,
        wage_per_minute: labour.worth_of_hour / 60.0,
    }
}
