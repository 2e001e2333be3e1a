//! What to do, in order and by whom: before dark, and by lamp what is still worth it.

use garden::garden::Garden;
use quantities::Moment;

use crate::constants::{DONE_BEFORE_LIMIT_S, SLACK_S, SUN_ON_FILM_W_M2, WALKING_PACE_M_MIN};
use crate::ensemble::{Ensemble, ForecastSeries};
use crate::plan::Problem;
use crate::plan::route::{Job, order};
use crate::report::{Action, BedReport, Handwork, SunTimes, Task};
use crate::steps::{at_step, steps_between};
use microclimate::real::Real;

/// One thing to do by the plan: its bed, person-minutes, money it saves.
pub struct Change {
    bed: usize,
    what: What,
    minutes: f64,
    saves: f64,
}

/// What is done.
#[derive(Clone, Copy)]
enum What {
    /// A cover is laid, moved or taken off; whether it is film.
    Cover(Action, bool),
    /// Something without cloth (an index into the handwork), by then.
    Hand(usize, Moment),
}

/// The changes that a choice of covers for every bed asks for, with minutes `times` those of the options.
pub fn changes(
    problem: &Problem,
    beds: &[BedReport],
    choice: &[usize],
    walk_minutes: f64,
) -> Vec<Change> {
    let one = |(b, c): (usize, &usize)| {
        let index = c.checked_sub(1)?;
        let chosen = problem.beds.get(b)?.get(*c)?;
        let option = beds[b].options.get(index);
        let film = option.is_some_and(|o| o.cover.is_film());
        Some(Change {
            bed: b,
            what: What::Cover(option.map_or(Action::TakeOff, |o| o.action), film),
            minutes: f64::from(chosen.seconds) / 60.0 - walk_minutes,
            saves: problem.beds[b][0].expected_loss - chosen.expected_loss,
        })
    };
    choice.iter().enumerate().filter_map(one).collect()
}

/// The same of what is done without cloth, `which` of the handwork.
pub fn by_hand<'a>(
    handwork: &'a [Handwork],
    which: &'a [usize],
) -> impl Iterator<Item = Change> + 'a {
    which.iter().map(|n| {
        let Handwork { bed, minutes, by, saves, .. } = handwork[*n];
        Change { bed, what: What::Hand(*n, by), minutes, saves }
    })
}

/// The work in its order.
#[derive(Default)]
pub struct InOrder {
    /// Covers.
    pub tasks: Vec<Task>,
    /// What is done without cloth.
    pub handwork: Vec<Handwork>,
    /// The latest start at which all is done by its time; `None` without work.
    pub start_by: Option<Moment>,
}

/// When work may begin and must end.
pub struct Hours<'a> {
    /// The turning points of the light.
    pub sun: &'a SunTimes,
    /// The first task can begin.
    pub from: Moment,
    /// Whether it is done by lamp.
    pub by_lamp: bool,
    /// The weather, for the sun on film.
    pub sky: &'a ForecastSeries,
}

/// The changes in the order of work.
///
/// Each is given to the person who is free first. A task that cannot be done by its time is done as soon as it can be, and
/// is late.
pub fn in_order(
    garden: &Garden,
    beds: &[BedReport],
    handwork: &[Handwork],
    changes: &[Change],
    hours: &Hours<'_>,
) -> InOrder {
    let limit = |c: &Change| match c.what {
        What::Cover(..) => {
            let reached = beds[c.bed].open.reaches_limit_at;
            reached.map(|m| m.plus_seconds(-DONE_BEFORE_LIMIT_S))
        }
        What::Hand(_, by) => Some(by),
    };
    // In the dark what is not urgent is done as soon as it can be.
    let last = if hours.by_lamp { hours.sun.sunrise } else { hours.sun.dark };
    let jobs: Vec<Job> = changes
        .iter()
        .map(|c| Job {
            position_m: garden.beds[c.bed].position_m,
            minutes: c.minutes,
            by: 60.0
                * limit(c).map_or(last, |m| m.min(last)).max(hours.from).hours_since(hours.from),
        })
        .collect();
    let people = garden.labour.people.max(1);
    let mut busy = vec![(0.0_f64, None::<(f64, f64)>); people as usize];
    let mut out = InOrder::default();
    let mut slack_s = i64::MAX;
    let evening = film_may_lie(hours);
    for stop in order(&jobs, people) {
        let (job, change) = (&jobs[stop.job], &changes[stop.job]);
        let free = (0..busy.len()).min_by(|a, b| busy[*a].0.total_cmp(&busy[*b].0)).unwrap_or(0);
        let metres = match (busy[free].1, job.position_m) {
            (Some(a), Some(b)) => (a.0 - b.0).hypot(a.1 - b.1),
            _ => 0.0,
        };
        busy[free].0 += metres / WALKING_PACE_M_MIN + job.minutes;
        busy[free].1 = job.position_m.or(busy[free].1);
        let done = hours.from.plus_seconds((60.0 * busy[free].0).ceil() as i64);
        let wanted = limit(change).map_or(last, |m| m.min(last));
        slack_s = slack_s.min(wanted.0 - done.0);
        let person = free as u32 + 1;
        let (action, film) = match change.what {
            What::Cover(action, film) => (action, film),
            What::Hand(n, _) => {
                let (by, walk_minutes) = (wanted.max(done), stop.walk);
                out.handwork.push(Handwork { by, person, walk_minutes, ..handwork[n] });
                continue;
            }
        };
        let asap = hours.by_lamp && limit(change).is_none();
        out.tasks.push(Task {
            bed: change.bed,
            minutes: job.minutes,
            walk_minutes: stop.walk,
            action,
            not_before: evening.filter(|_| film && action != Action::TakeOff),
            by: if asap { done } else { wanted.max(done) },
            late_since: (done.0 - wanted.0 > SLACK_S).then_some(wanted),
            person,
            saves: change.saves,
        });
    }
    let start_by = hours.from.plus_seconds(if hours.by_lamp { 0 } else { slack_s.max(0) });
    out.start_by = (!changes.is_empty()).then_some(start_by);
    out
}

/// When the sun is off enough for film to be laid, where it is not yet.
fn film_may_lie(hours: &Hours<'_>) -> Option<Moment> {
    let steps = steps_between(hours.from, hours.sun.dark);
    let sun = Ensemble::plain(hours.sky, hours.from, steps);
    let last = sun.iter().rposition(|f| f.sun_w_m2.lane(0) >= SUN_ON_FILM_W_M2)?;
    Some(at_step(hours.from, last + 1))
}
