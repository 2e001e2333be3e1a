//! What is to be told now.

mod blind;
mod change;
mod evening;
mod morning;
mod night;

use std::collections::HashMap;

use diary::messages::MessageKind;
use garden::watch::Watch;
use jiff::tz::TimeZone;
use quantities::Moment;

use crate::calendar::{self, Evening};
use crate::facts::{Facts, Sense};
use crate::ledger::Ledger;
use crate::subject::{Difference, Subject};

/// Something to be told.
#[derive(Clone, Debug, PartialEq)]
pub struct Due {
    /// What.
    pub subject: Subject,
    /// Whether plants are in danger.
    pub urgent: bool,
    /// Of no use after this.
    pub until: Moment,
}

/// Since when something has been so without a break: what flickers is not told.
#[derive(Clone, Debug, Default)]
pub struct Steady {
    differences: HashMap<Difference, Moment>,
    /// Of each sense that is blind (`true`) or sees again.
    senses: HashMap<(Sense, bool), Moment>,
}

/// What every question is asked with.
#[derive(Clone, Copy)]
pub(crate) struct Asked<'a> {
    pub facts: &'a Facts,
    pub watch: &'a Watch,
    pub ledger: &'a Ledger,
    pub zone: &'a TimeZone,
    /// The evening that now belongs to.
    pub evening: Evening,
}

/// Everything to be told now, the most pressing first.
///
/// Checked by `decide::*` and lived through by `nights`.
pub fn decide(
    facts: &Facts,
    watch: &Watch,
    ledger: &Ledger,
    steady: &mut Steady,
    evening: Evening,
    zone: &TimeZone,
) -> Vec<Due> {
    let asked = Asked { facts, watch, ledger, zone, evening };
    let mut due = night::due(&asked);
    due.extend(change::due(&asked, steady));
    due.extend(evening::due(&asked));
    due.extend(morning::due(&asked));
    due.extend(blind::due(&asked, steady));
    let mut left = asked.room_today();
    due.retain(|d| {
        let always = comes_anyway(d.subject.kind(), d.urgent, watch);
        left = if always { left } else { left - 1 };
        always || left >= 0
    });
    due
}

/// Whether a message passes quiet hours and the limit of a day: the evening's always, what threatens plants where the grower
/// said so.
pub(crate) fn comes_anyway(kind: MessageKind, urgent: bool, watch: &Watch) -> bool {
    matches!(kind, MessageKind::Evening | MessageKind::NoPlan) || urgent && watch.wake
}

impl Asked<'_> {
    /// How many more messages of those that may be left out today still takes.
    fn room_today(&self) -> i64 {
        let today = calendar::date(self.facts.now, self.zone);
        let is_today = |at: Moment| calendar::date(at, self.zone) == today;
        let told = self.ledger.told().iter().filter(|t| is_today(t.message.at)).count();
        i64::from(self.watch.most_a_day) - i64::try_from(told).unwrap_or(i64::MAX)
    }
}

/// Keeps since when each of some things has been so; what is so no more is forgotten. A clock that was set back begins anew.
fn keep_steady<T: Clone + Eq + std::hash::Hash>(
    since: &mut HashMap<T, Moment>,
    now: Moment,
    are: impl IntoIterator<Item = T>,
) {
    let before = std::mem::take(since);
    for thing in are {
        let at = before.get(&thing).copied().unwrap_or(now).min(now);
        since.insert(thing, at);
    }
}
