//! What cannot be seen or done: told once it has stayed so, again each day, and when it is over.

use std::collections::BTreeMap;

use quantities::Moment;

use crate::decide::{Asked, Due, Steady, keep_steady};
use crate::facts::Sense;
use crate::subject::Subject;

/// Told after it has stayed so, or has been over, this long, s.
const STAYS_S: i64 = 900;
/// A bed with such a chance of harm makes a night too close to be blind in.
const CLOSE: f64 = 0.02;
/// Told again after this long, s.
const AGAIN_S: i64 = 86_400;

pub(super) fn due(asked: &Asked<'_>, steady: &mut Steady) -> Vec<Due> {
    let Asked { facts, ledger, .. } = *asked;
    // Told last of each, and whether that was that it is blind.
    let mut told: BTreeMap<&Sense, (Moment, bool)> = BTreeMap::new();
    for t in ledger.told() {
        match &t.subject {
            Subject::Blind { blind } => told.insert(&blind.sense, (t.message.at, true)),
            Subject::SeesAgain { sense } => told.insert(sense, (t.message.at, false)),
            _ => None,
        };
    }
    let is_blind = |sense: &Sense| facts.blind.iter().any(|b| b.sense == *sense);
    let over =
        told.iter().filter(|(s, (_, blind))| *blind && !is_blind(s)).map(|(s, _)| (*s).clone());
    let over: Vec<Sense> = over.collect();
    let blind = facts.blind.iter().map(|b| (b.sense.clone(), true));
    let watched = blind.chain(over.iter().map(|s| (s.clone(), false)));
    keep_steady(&mut steady.senses, facts.now, watched);
    let stayed = |sense: &Sense, blind: bool| {
        let since = steady.senses.get(&(sense.clone(), blind));
        since.is_some_and(|since| facts.now.0 - since.0 >= STAYS_S)
    };
    let until = facts.now.plus_seconds(AGAIN_S);
    let lately = |sense: &Sense| {
        let last = told.get(sense).filter(|(_, blind)| *blind);
        last.is_some_and(|(at, _)| facts.now.0 - at.0 < AGAIN_S)
    };
    let begun = facts.blind.iter().filter(|b| stayed(&b.sense, true) && !lately(&b.sense));
    let begun = begun.map(|b| Subject::Blind { blind: b.clone() });
    let over =
        over.into_iter().filter(|s| stayed(s, false)).map(|sense| Subject::SeesAgain { sense });
    let close = is_close(asked);
    let due = |subject: Subject| {
        let urgent = close && matches!(subject, Subject::Blind { .. });
        Due { subject, urgent, until }
    };
    begun.chain(over).map(due).collect()
}

/// Whether it is night and some bed may be harmed, the plan followed.
fn is_close(asked: &Asked<'_>) -> bool {
    let Asked { facts, evening, .. } = *asked;
    let night = facts.now >= evening.sunset && facts.now < evening.sunrise;
    let may = |p: &crate::brief::Brief| p.beds.iter().any(|b| b.chance >= CLOSE);
    night && facts.plan.as_ref().map_or(true, may)
}
