//! What is to be looked after today: winter covers, stored cloth, sheets near their end, snow and wind. Plain data from the
//! diary, the garden and tonight's report; never more than one thing a day unless plants or hoops are in danger.

pub mod events;
mod facts;
mod sheets;
pub mod words;

use diary::entries::JudgedEntry;
use evening::report::{BedReport, Report, WarningKind};
use garden::Garden;
use garden::fit::{Cover, Placement};
use jiff::ToSpan as _;
use jiff::civil::Date;
use quantities::Moment;

use crate::format::GardenFormat;
use facts::{Facts, nights_longer};

pub use sheets::{Life, life};

/// Voles: days from one look under a cover to the next (common practice, no source).
const VOLES_EVERY_D: i32 = 7;
/// Mice: days from one look at stored cloth to the next (common practice, no source).
const MICE_EVERY_D: i32 = 30;
/// New snow from which what lies on hoops is looked at, m (chosen; hoops that may give way are told as danger).
const SNOW_LOOK_M: f64 = 0.02;
/// Days of the warm half of the year through which what could not be told yet is still told (chosen).
const LATE_D: i32 = 14;

/// What is looked after; the more urgent first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Snow on covered hoops; the subjects are beds.
    Snow,
    /// Gusts against pins and hoops; the subjects are beds.
    Wind,
    /// Voles under covers that lie through winter; the subjects are beds.
    Voles,
    /// Sheets that have had most of the sun they are good for; the subjects are sheets.
    SheetEnd,
    /// Mice in stored cloth; the subjects are sheets.
    Mice,
}

/// One thing to look after.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Upkeep {
    /// What.
    pub kind: Kind,
    /// Names of beds or sheets.
    pub subjects: Vec<String>,
    /// The day it is for.
    pub date: Date,
    /// Whether plants or hoops are in danger.
    pub danger: bool,
}

/// Everything that is due at a moment, the most urgent first; what was told before is not looked at: [`one_a_day`] does.
///
/// Checked by `upkeep::tests::what_the_diary_says_makes_things_due`.
pub fn due(
    garden: &Garden,
    entries: &[JudgedEntry],
    report: Option<&Report>,
    now: Moment,
) -> Vec<Upkeep> {
    let today = GardenFormat::new(garden.units, &garden.zone).local_date(now);
    due_on(&Facts::new(garden, entries, now, 0), report, today)
}

/// What of it to tell on a day, by what was told on earlier days: all that is in danger, else the most urgent of the rest that
/// has not been told within its time. Told on the same day counts as not told, so that the answer stays through the day.
///
/// Checked by `upkeep::tests::one_thing_a_day_unless_in_danger`.
pub fn one_a_day(due: &[Upkeep], told: &[Upkeep], today: Date) -> Vec<Upkeep> {
    let danger: Vec<Upkeep> = due.iter().filter(|u| u.danger).cloned().collect();
    if !danger.is_empty() {
        return danger;
    }
    let fresh = |u: &Upkeep| {
        let told_lately = |subject: &String| {
            told.iter().any(|t| {
                let again = again_after_d(u.kind);
                t.kind == u.kind
                    && t.date < today
                    && again.is_none_or(|days| days_between(t.date, today) < days)
                    && (u.kind == Kind::Mice || t.subjects.contains(subject))
            })
        };
        let subjects: Vec<String> =
            u.subjects.iter().filter(|s| !told_lately(s)).cloned().collect();
        (!subjects.is_empty()).then(|| Upkeep { subjects, ..u.clone() })
    };
    due.iter().filter_map(fresh).min_by_key(|u| u.kind).into_iter().collect()
}

/// What is told from today to `ahead` days on, as if everything had been told on its day since the cold half of the year began
/// (in the warm half: for the last two weeks). Needs no memory, so that every look at a calendar finds the same.
///
/// Checked by `upkeep::tests::a_winter_is_told_week_by_week`.
pub fn coming(
    garden: &Garden,
    entries: &[JudgedEntry],
    report: Option<&Report>,
    now: Moment,
    ahead: i32,
) -> Vec<Upkeep> {
    let facts = Facts::new(garden, entries, now, ahead);
    let today = GardenFormat::new(garden.units, &garden.zone).local_date(now);
    let latitude = garden.place.latitude_deg;
    let cold = (0..200).take_while(|n| nights_longer(latitude, before(today, *n))).last();
    let first = before(today, cold.unwrap_or(LATE_D));
    let mut told = facts.ended_before(first);
    let mut out = Vec::new();
    for n in -days_between(first, today)..=ahead {
        let day = before(today, -n);
        let of_day = one_a_day(&due_on(&facts, report.filter(|_| n == 0), day), &told, day);
        told.extend(of_day.iter().cloned());
        if n >= 0 {
            out.extend(of_day);
        }
    }
    out
}

fn due_on(facts: &Facts<'_>, report: Option<&Report>, day: Date) -> Vec<Upkeep> {
    let plain = |kind, subjects: Vec<String>| Upkeep { kind, subjects, date: day, danger: false };
    let mut out: Vec<Upkeep> = report.map(|r| threatened(r, day)).unwrap_or_default();
    out.push(plain(Kind::Voles, facts.unseen_beds(day)));
    out.push(plain(Kind::SheetEnd, facts.ended_sheets(day)));
    out.push(plain(Kind::Mice, facts.unseen_cloth(day)));
    out.retain(|u| !u.subjects.is_empty());
    out.sort_by_key(|u| (!u.danger, u.kind));
    out
}

/// Snow and wind of the report: its warnings are danger, snow on hoops that carry it is not.
fn threatened(report: &Report, day: Date) -> Vec<Upkeep> {
    let beds = |snow: bool| -> Vec<String> {
        let of = |k: &WarningKind| matches!(k, WarningKind::SnowLoad { .. }) == snow;
        let mut beds: Vec<String> = Vec::new();
        for bed in report.warnings.iter().filter(|w| of(&w.kind)).flat_map(|w| &w.beds) {
            if !beds.contains(bed) {
                beds.push(bed.clone());
            }
        }
        beds
    };
    let [snow, wind] = [beds(true), beds(false)];
    let snows = report.weather.snow_m.is_some_and(|m| m >= SNOW_LOOK_M);
    let carry = |b: &&BedReport| snows && hooped(b) && !snow.contains(&b.bed);
    let looked_at = report.beds.iter().filter(carry).map(|b| b.bed.clone()).collect();
    [(Kind::Snow, snow.clone(), true), (Kind::Wind, wind, true), (Kind::Snow, looked_at, false)]
        .into_iter()
        .map(|(kind, subjects, danger)| Upkeep { kind, subjects, date: day, danger })
        .collect()
}

/// Whether a bed spends the night under something on hoops.
fn hooped(bed: &BedReport) -> bool {
    let hoops = |c: &Cover| matches!(c.lie, Placement::LowTunnel { .. } | Placement::PopUp { .. });
    let chosen = bed.chosen.and_then(|n| bed.options.get(n)).map(|o| &o.cover);
    let stays = bed.lies_at_night && chosen.is_none() && !bed.takes_off;
    chosen.is_some_and(hoops) || (stays && bed.lies.iter().any(|l| hoops(&l.cover)))
}

/// After how many days a thing that is still due is told again; `None`: never.
fn again_after_d(kind: Kind) -> Option<i32> {
    match kind {
        Kind::Snow | Kind::Wind => Some(1),
        Kind::Voles => Some(VOLES_EVERY_D),
        Kind::Mice => Some(MICE_EVERY_D),
        Kind::SheetEnd => None,
    }
}

fn before(day: Date, days: i32) -> Date {
    day.saturating_sub(days.days())
}

fn days_between(from: Date, to: Date) -> i32 {
    from.until(to).map_or(i32::MAX, |span| span.get_days())
}

#[cfg(test)]
mod tests;
