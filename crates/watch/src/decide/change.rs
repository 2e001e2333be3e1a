//! Another plan than was told, where the difference matters: what must be done at once, what need not once it has stayed so.

use quantities::Moment;

use crate::brief::Brief;
use crate::decide::{Asked, Due, Steady, keep_steady};
use crate::subject::{Difference, Subject};

/// A start that moved by less than this is not told, s.
const START_MOVES_S: i64 = 15 * 60;
/// A chance of harm that rose by less than this is not told.
const CHANCE_RISES: f64 = 0.2;
/// A bed that the plan wants covered only now is told where it would otherwise lose a tenth in so many nights.
const WORTH_TELLING: f64 = 0.1;
/// What makes work needless or easier is told after it has stayed so this long, s.
const CLEAR_STAYS_S: i64 = 3600;
/// Another cover or a later start after this long, s.
const OTHER_STAYS_S: i64 = 1800;

pub(super) fn due(asked: &Asked<'_>, steady: &mut Steady) -> Option<Due> {
    let Asked { facts, ledger, evening, .. } = *asked;
    let (night, sunset, sunrise) = (evening.night, evening.sunset, evening.sunrise);
    let plan = facts.plan.as_ref().ok().filter(|p| p.night == night && facts.now < sunrise);
    let (Some(plan), Some(told)) = (plan, ledger.plan_told(night)) else {
        steady.differences.clear();
        return None;
    };
    let what = differences(told, plan, facts.now);
    keep_steady(&mut steady.differences, facts.now, what.iter().cloned());
    let tell = what.iter().any(|d| {
        let since = steady.differences.get(d).map_or(facts.now, |s| *s);
        facts.now.0 - since.0 >= stays_s(d)
    });
    if !tell {
        return None;
    }
    let more = |d: &Difference| matches!(d, Difference::Cover(_) | Difference::MoreDanger(_));
    let urgent = what.iter().any(more) && facts.now > Moment(told.sunset.min(sunset.0));
    let clear = told.has_work() && !plan.has_work() && all_left(&what);
    let plan = plan.clone();
    let subject = if clear { Subject::AllClear { plan } } else { Subject::Change { plan, what } };
    Some(Due { subject, urgent, until: sunrise })
}

fn all_left(what: &[Difference]) -> bool {
    what.iter().all(|d| matches!(d, Difference::Leave(_)))
}

/// How long a difference must stay before it is told, s.
fn stays_s(difference: &Difference) -> i64 {
    match difference {
        Difference::Cover(_) | Difference::Sooner | Difference::MoreDanger(_) => 0,
        Difference::OtherCover(_) | Difference::Later => OTHER_STAYS_S,
        Difference::Leave(_) => CLEAR_STAYS_S,
    }
}

/// What differs between the plan that was told and the one of now, as far as it matters: what a tick has done differs in
/// nothing, since each bed ends the same.
fn differences(told: &Brief, now: &Brief, at: Moment) -> Vec<Difference> {
    let mut out = Vec::new();
    let none = crate::brief::BedBrief::default();
    for bed in &now.beds {
        let before = told.bed(&bed.bed).unwrap_or(&none);
        let name = bed.bed.clone();
        match (before.ends.is_empty(), bed.ends.is_empty()) {
            (true, false) if bed.to_do && bed.left >= WORTH_TELLING => {
                out.push(Difference::Cover(name));
            }
            (false, true) if before.to_do || bed.to_do => out.push(Difference::Leave(name)),
            (false, false) if bed.to_do && before.ends != bed.ends => {
                out.push(Difference::OtherCover(name));
            }
            _ if bed.chance >= before.chance + CHANCE_RISES => {
                out.push(Difference::MoreDanger(name));
            }
            _ => {}
        }
    }
    // Once the work should have begun its start only runs along with the clock.
    let ahead = told.start_by.is_some_and(|start| at.0 < start);
    let same_work =
        ahead && now.beds.iter().all(|b| told.bed(&b.bed).is_some_and(|t| t.to_do == b.to_do));
    if let (Some(before), Some(start), true) = (told.start_by, now.start_by, same_work) {
        if start < before - START_MOVES_S {
            out.push(Difference::Sooner);
        } else if start > before + START_MOVES_S {
            out.push(Difference::Later);
        }
    }
    out
}
