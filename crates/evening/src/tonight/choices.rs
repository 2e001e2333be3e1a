//! What the planner chooses from: every bed left as it lies, changed or cleared, the stock and the minutes.

use garden::fit::Item;
use garden::garden::Garden;

use crate::constants::WALK_MINUTES;
use crate::night::BedSimulation;
use crate::plan::{Choice, Problem, stock};
use crate::report::BedReport;
use crate::tonight::lying::take_off_minutes;

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
        let main = s.lies.at_night().map(|m| m.0).filter(|l| l.against_cold());
        let cleared = bed.bare.zip(main).map(|(bare, main)| Choice {
            expected_loss: bare.expected_loss,
            seconds: (60.0 * (times * take_off_minutes(&main.cover) + WALK_MINUTES)).round() as u32,
            uses: with(&[], &beside),
        });
        std::iter::once(left).chain(changed).chain(cleared).collect::<Vec<_>>()
    };
    let labour = &garden.labour;
    let beds: Vec<Vec<Choice>> = simulations.iter().zip(beds).map(choices).collect();
    let lying = |line: usize| beds.iter().map(|b| b[0].uses_of(line)).sum::<u32>();
    let available = lines.iter().enumerate().map(|(n, l)| l.1.max(lying(n))).collect();
    Problem {
        beds,
        available,
        seconds: (60.0 * f64::from(labour.people) * labour.minutes_each) as u32,
        wage_per_minute: labour.worth_of_hour / 60.0,
    }
}
