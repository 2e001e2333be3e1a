//! The order of work: urgent beds in time, then little walking.

use crate::constants::WALKING_PACE_M_MIN;

/// One bed to work on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Job {
    /// Metres east and north; `None` walks nowhere.
    pub position_m: Option<(f64, f64)>,
    /// Person-minutes.
    pub minutes: f64,
    /// Minutes from now by which it should be done.
    pub by: f64,
}

/// One job in its place in the order.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// Index of the job.
    pub job: usize,
    /// Person-minutes of walking to it.
    pub walk: f64,
    /// Minutes from now when it is done.
    pub done: f64,
}

/// Orders jobs: least greatest lateness, then least total lateness, then least walking.
///
/// Earliest deadline first, then pairs are swapped and single jobs moved while that helps.
/// Checked by `plan::the_order_of_work_is_near_the_best_of_all`.
#[must_use]
pub fn order(jobs: &[Job], people: u32) -> Vec<Stop> {
    let people = f64::from(people.max(1));
    let mut order: Vec<usize> = (0..jobs.len()).collect();
    order.sort_by(|a, b| jobs[*a].by.total_cmp(&jobs[*b].by).then(a.cmp(b)));
    let mut score = lateness(&walk(jobs, &order, people), jobs);
    let mut better = true;
    while better {
        better = false;
        for i in 0..order.len() {
            for j in 0..order.len() {
                if i == j {
                    continue;
                }
                let mut moved = order.clone();
                let job = moved.remove(i);
                moved.insert(j, job);
                let mut swapped = order.clone();
                swapped.swap(i, j);
                for candidate in [moved, swapped] {
                    let candidate_score = lateness(&walk(jobs, &candidate, people), jobs);
                    if less(candidate_score, score) {
                        (order, score, better) = (candidate, candidate_score, true);
                    }
                }
            }
        }
    }
    walk(jobs, &order, people)
}

/// The stops of an order.
#[must_use]
pub fn walk(jobs: &[Job], order: &[usize], people: f64) -> Vec<Stop> {
    let mut now = 0.0;
    let mut at: Option<(f64, f64)> = None;
    order
        .iter()
        .map(|&job| {
            let here = jobs[job].position_m;
            let metres = match (at, here) {
                (Some(a), Some(b)) => (a.0 - b.0).hypot(a.1 - b.1),
                _ => 0.0,
            };
            at = here.or(at);
            // All walk together, then share the work.
            now += metres / WALKING_PACE_M_MIN + jobs[job].minutes / people;
            Stop { job, walk: people * metres / WALKING_PACE_M_MIN, done: now }
        })
        .collect()
}

/// Greatest lateness, total lateness, walking.
#[must_use]
pub fn lateness(stops: &[Stop], jobs: &[Job]) -> [f64; 3] {
    let late = |s: &Stop| (s.done - jobs[s.job].by).max(0.0);
    [
        stops.iter().map(late).fold(0.0, f64::max),
        stops.iter().map(late).sum(),
        stops.iter().map(|s| s.walk).sum(),
    ]
}

/// Whether one score comes before another, by a hair.
#[must_use]
pub fn less(a: [f64; 3], b: [f64; 3]) -> bool {
    for (x, y) in a.iter().zip(b) {
        if (x - y).abs() > 1e-9 {
            return *x < y;
        }
    }
    false
}
