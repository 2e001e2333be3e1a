//! What to do before dark, in order.

use garden::fit::Cover as Fit;
use garden::garden::Garden;
use quantities::Moment;

use crate::constants::DONE_BEFORE_LIMIT_S;
use crate::plan::route::{Job, order};
use crate::report::{BedReport, SunTimes, Task};

/// The chosen covers as tasks in the order of work.
pub fn in_order(
    garden: &Garden,
    beds: &[BedReport],
    sun: &SunTimes,
    asked_at: Moment,
) -> Vec<Task> {
    let chosen: Vec<(usize, &Fit, Moment)> = beds
        .iter()
        .enumerate()
        .filter_map(|(i, b)| {
            let cover = &b.options.get(b.chosen?)?.cover;
            let by =
                b.open.reaches_limit_at.map_or(sun.dark, |m| m.plus_seconds(-DONE_BEFORE_LIMIT_S));
            Some((i, cover, by.min(sun.dark).max(asked_at)))
        })
        .collect();
    let jobs: Vec<Job> = chosen
        .iter()
        .map(|(i, cover, by)| Job {
            position_m: garden.beds[*i].position_m,
            minutes: cover.minutes,
            by: 60.0 * by.hours_since(asked_at),
        })
        .collect();
    order(&jobs, garden.labour.people)
        .iter()
        .map(|stop| Task {
            bed: chosen[stop.job].0,
            minutes: jobs[stop.job].minutes,
            walk_minutes: stop.walk,
            by: chosen[stop.job].2,
        })
        .collect()
}
