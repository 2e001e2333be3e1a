//! The night against what was told: colder air, and beds near their limits that nobody noted as covered.

use diary::messages::MessageKind;
use quantities::Moment;

use crate::decide::{Asked, Due};
use crate::subject::Subject;

/// So far below what nine nights of ten should not have passed, K: a thermometer's own error (±0.5 K is what loggers claim).
const BELOW_K: f64 = 0.5;
/// Said again once it has fallen so much further, K.
const FURTHER_K: f64 = 2.0;
/// A reading older than this says nothing of now, s.
const FRESH_S: i64 = 1800;
/// Harm this likely is told.
const LIKELY: f64 = 0.1;
/// A bed without a plan for it is near its limit where it would pass it on the night in the middle.
const HALF: f64 = 0.5;

pub(super) fn due(asked: &Asked<'_>) -> Vec<Due> {
    let Asked { facts, evening, .. } = *asked;
    if facts.now < evening.sunset || facts.now >= evening.sunrise {
        return Vec::new();
    }
    [colder(asked), near(asked)].into_iter().flatten().collect()
}

/// The air is colder than was told, and some bed is in danger as it lies.
fn colder(asked: &Asked<'_>) -> Option<Due> {
    let Asked { facts, ledger, evening, .. } = *asked;
    let (night, sunrise) = (evening.night, evening.sunrise);
    let (at, air_c) = facts.air.filter(|(at, _)| (facts.now.0 - at.0).abs() <= FRESH_S)?;
    let told_c = ledger.plan_told(night)?.air_p10_at(at)?;
    if air_c > told_c - BELOW_K {
        return None;
    }
    let before = ledger.of(night, MessageKind::Night).rev().find_map(|t| match t.subject {
        Subject::Colder { air_c, .. } => Some(air_c),
        _ => None,
    });
    if before.is_some_and(|b| air_c > b - FURTHER_K) {
        return None;
    }
    let plan = facts.plan.as_ref().ok()?;
    let beds: Vec<String> =
        plan.beds.iter().filter(|b| b.left >= LIKELY).map(|b| b.bed.clone()).collect();
    if beds.is_empty() {
        return None;
    }
    let subject = Subject::Colder { air_c, told_c, beds };
    Some(Due { subject, urgent: true, until: sunrise })
}

/// Beds to be covered, or that no plan saves, are likely to reach their limits soon.
fn near(asked: &Asked<'_>) -> Option<Due> {
    let Asked { facts, ledger, evening, watch, .. } = *asked;
    let (night, sunrise) = (evening.night, evening.sunrise);
    let plan = facts.plan.as_ref().ok().filter(|p| p.night == night)?;
    let told_already = |bed: &str| {
        ledger.of(night, MessageKind::Night).any(|t| match &t.subject {
            Subject::Near { beds, .. } => beds.iter().any(|b| b == bed),
            _ => false,
        })
    };
    let wanted =
        |bed: &str| ledger.plan_told(night).and_then(|p| p.bed(bed)).is_some_and(|b| b.to_do);
    let soon = facts.now.plus_seconds((watch.warn_min * 60.0) as i64);
    let beds: Vec<(String, i64)> = plan
        .beds
        .iter()
        .filter(|b| {
            b.left >= HALF && (facts.noted && b.to_do || !wanted(&b.bed) && b.ends.is_empty())
        })
        .filter_map(|b| Some((b.bed.clone(), b.reaches?)))
        .filter(|(bed, at)| Moment(*at) <= soon && !told_already(bed))
        .collect();
    let first = beds.iter().map(|b| b.1).min()?;
    let beds = beds.into_iter().map(|b| b.0).collect();
    Some(Due { subject: Subject::Near { beds, first }, urgent: true, until: sunrise })
}
