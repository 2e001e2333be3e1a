//! What must be opened before heat or sun on film harms plants: said once in time, and once more, louder, when it is late.

use diary::messages::MessageKind;
use quantities::Moment;

use crate::brief::Opens;
use crate::decide::{Asked, Due};
use crate::subject::Subject;

/// Said so long before the first cover must be open, s.
const BEFORE_S: i64 = 3600;
/// Said no more so long after the last one should have been, s.
const LATE_S: i64 = 6 * 3600;

pub(super) fn due(asked: &Asked<'_>) -> Option<Due> {
    let Asked { facts, ledger, .. } = *asked;
    let plan = facts.plan.as_ref().ok()?;
    let lies = |o: &&Opens| !facts.noted || facts.shut.contains(&o.bed);
    let due = |o: &&Opens| o.heat && facts.now.0 >= o.by - BEFORE_S && facts.now.0 < o.by + LATE_S;
    let opens: Vec<Opens> = plan.opens.iter().filter(due).filter(lies).cloned().collect();
    // By day the plan may be that of the coming night already: the evening whose morning this is was the day before.
    let today = crate::calendar::date(Moment(opens.iter().map(|o| o.by).min()?), asked.zone);
    let evening = today.yesterday().ok()?;
    let told: Vec<_> = [evening, today]
        .into_iter()
        .flat_map(|night| ledger.of(night, MessageKind::Morning))
        .filter(|t| crate::calendar::date(t.message.at, asked.zone) == today)
        .collect();
    let said = |bed: &str, twice: bool| {
        told.iter().any(|t| match &t.subject {
            Subject::Open { opens, again } => {
                (*again || !twice) && opens.iter().any(|o| o.bed == bed)
            }
            _ => false,
        })
    };
    let until = Moment(opens.iter().map(|o| o.by).max()? + LATE_S);
    let new: Vec<Opens> = opens.iter().filter(|o| !said(&o.bed, false)).cloned().collect();
    if !new.is_empty() {
        let late = new.iter().any(|o| facts.now.0 >= o.by);
        return Some(Due {
            subject: Subject::Open { opens: new, again: false },
            urgent: late,
            until,
        });
    }
    // Louder only where nobody has answered, or where the diary says that it still lies.
    let answered = told.iter().any(|t| ledger.seen(&t.message, facts.last_note));
    let late: Vec<Opens> = opens
        .into_iter()
        .filter(|o| facts.now.0 >= o.by && !said(&o.bed, true))
        .filter(|_| facts.noted || !answered)
        .collect();
    if late.is_empty() {
        return None;
    }
    Some(Due { subject: Subject::Open { opens: late, again: true }, urgent: true, until })
}
