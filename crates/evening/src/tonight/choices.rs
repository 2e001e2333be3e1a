//! What the planner chooses from: every bed left as it lies, changed or cleared, the stock and the minutes.

use garden::fit::Item;
use garden::garden::Garden;

use crate::night::BedSimulation;
use crate::plan::{Choice, Problem, stock};
use crate::report::BedReport;

/// The plan's problem over the lines of the stock: first each bed as it lies, then its options, then cleared.
///
/// What lies uses what it lies with, so that the rest is the shed. Where more lies than is owned (pins that were counted
/// otherwise), none of that is left to lay. Work takes `times` as long as by day.
pub fn problem(
    garden: &Garden,
    simulations: &[BedSimulation<'_>],
    beds: &[BedReport],
    times: f64,
) -> Problem {
    let lines = stock::lines(garden);
    let add = |a: &mut Vec<(usize, u32)>, uses: &[(Item, u32)]| {
        for (item, n) in uses {
            let Some(line) = lines.iter().position(|l| l.0 == *item) else { continue };
            match a.iter_mut().find(|u| u.0 == line) {
                Some(u) => u.1 += n,
                None => a.push((line, *n)),
            }
        }
    };
    let choices = |(s, bed): (&BedSimulation<'_>, &BedReport)| {
        let with = |uses: &[(Item, u32)], beside: &[(Item, u32)]| {
            let mut all = Vec::new();
            add(&mut all, uses);
            add(&mut all, beside);
            all
        };
        let (lies, beside) = (s.lies.uses(), s.lies.uses_beside());
        let left =
            Choice { expected_loss: bed.open.expected_loss, seconds: 0, uses: with(&lies, &[]) };
        let changed = bed.options.iter().map(|o| Choice {
            expected_loss: o.outcome.expected_loss,
            seconds: stock::seconds(&o.cover),
            uses: with(&o.cover.uses, &beside),
        });
        // Cleared, so that it lies on another bed.
        let cleared = s.lies.take_off_minutes().map(|minutes| Choice {
            expected_loss: bed.bare_loss(),
            seconds: stock::with_walk(times * minutes),
            uses: with(&[], &beside),
        });
        std::iter::once(left).chain(changed).chain(cleared).collect::<Vec<_>>()
    };
    let beds: Vec<Vec<Choice>> = simulations.iter().zip(beds).map(choices).collect();
    let lying = |line: usize| beds.iter().map(|b| b[0].uses_of(line)).sum::<u32>();
    let available = lines.iter().enumerate().map(|(n, l)| l.1.max(lying(n))).collect();
    Problem {
        beds,
        available,
        seconds: stock::person_seconds(garden),
        wage_per_minute: garden.labour.worth_of_hour / 60.0,
    }
}
