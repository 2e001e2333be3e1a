//! The plan of the evening, or that nothing is to be done, once an evening, so that silence means that something is wrong; the
//! looks that upkeep asks for go with it, at most one a day.

use diary::messages::MessageKind;
use quantities::Moment;

use crate::brief::Brief;
use crate::decide::{Asked, Due};
use crate::facts::Upkeep;
use crate::subject::Subject;

pub(super) fn due(asked: &Asked<'_>) -> Vec<Due> {
    let Asked { facts, ledger, evening, .. } = *asked;
    let (night, sunset, sunrise) = (evening.night, evening.sunset, evening.sunrise);
    let plan = facts.plan.as_ref().ok().filter(|p| p.night == night);
    let start_by = plan.and_then(|p| p.start_by).map(Moment);
    let at = evening.told_at(start_by, asked.watch, asked.zone);
    let mut out = Vec::new();
    if facts.now < at || facts.now >= sunrise {
        return out;
    }
    if ledger.plan_told(night).is_none() {
        if let Some(plan) = plan {
            let subject = Subject::Evening { plan: plan.clone() };
            out.push(Due { subject, urgent: false, until: sunrise });
        } else if ledger.of(night, MessageKind::NoPlan).next().is_none() {
            let why = facts.plan.as_ref().err().cloned();
            let why = why.unwrap_or_else(|| "the plan that is there is of another night".into());
            out.push(Due { subject: Subject::NoPlan { why }, urgent: false, until: sunrise });
        }
    }
    if facts.now < sunset {
        out.extend(upkeep(asked, plan, sunset));
    }
    out
}

/// The most pressing look of the day where none was told yet; what is in danger always.
fn upkeep(asked: &Asked<'_>, plan: Option<&Brief>, until: Moment) -> Vec<Due> {
    let Asked { facts, ledger, evening, .. } = *asked;
    let night = evening.night;
    let told: Vec<_> = ledger.of(night, MessageKind::Upkeep).collect();
    let is_told = |name: &str| {
        told.iter().any(|t| matches!(&t.subject, Subject::Upkeep { upkeep } if upkeep.name == name))
    };
    let plan = ledger.plan_told(night).or(plan);
    let with_the_plan = |u: &Upkeep| {
        let known = |t: &String| plan.is_some_and(|p| p.threats.contains(t));
        !u.threats.is_empty() && u.threats.iter().all(known)
    };
    let mut calm = told.is_empty();
    let mut out = Vec::new();
    for upkeep in facts.upkeep.iter().filter(|u| !is_told(&u.name) && !with_the_plan(u)) {
        if upkeep.danger || std::mem::take(&mut calm) {
            let subject = Subject::Upkeep { upkeep: upkeep.clone() };
            out.push(Due { subject, urgent: upkeep.danger, until });
        }
    }
    out
}
