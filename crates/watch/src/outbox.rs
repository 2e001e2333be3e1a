//! Which message goes to whom now: not in the quiet hours where it can wait, again where it was refused, to a second person
//! where nobody has answered.

use garden::watch::Watch;
use jiff::tz::TimeZone;
use quantities::Moment;

use crate::calendar;
use crate::decide;
use crate::ledger::{Ledger, Told};
use diary::messages::Message;

/// Pause after the first refusal, doubled after each further one up to the longest, s.
const PAUSE_S: i64 = 30;
const LONGEST_PAUSE_S: i64 = 900;
/// A second person is told where nobody has answered for so long, s.
const UNANSWERED_S: i64 = 900;
/// Or where the message has reached nobody for so long, s.
const REACHED_NOBODY_S: i64 = 300;

/// Somebody who is told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recipient {
    /// Their name.
    pub name: String,
    /// Only where nobody has answered what cannot wait.
    pub second: bool,
}

/// The messages that are to be handed over now, each with its recipient.
///
/// Checked by `outbox::*`.
#[must_use]
pub fn due<'a>(
    ledger: &'a Ledger,
    recipients: &'a [Recipient],
    watch: &Watch,
    zone: &TimeZone,
    now: Moment,
    last_note: Option<Moment>,
) -> Vec<(&'a Message, &'a Recipient)> {
    let mut out = Vec::new();
    for (n, told) in ledger.told().iter().enumerate().filter(|(_, t)| now < t.message.until) {
        if waits(told, watch, zone, now) || outdated(ledger, n) {
            continue;
        }
        let message = &told.message;
        let firsts = || recipients.iter().filter(|r| !r.second);
        let reached = firsts().any(|r| ledger.reached(&message.id, &r.name));
        let waited_s = now.0 - message.at.0;
        let unanswered = waited_s >= UNANSWERED_S && !ledger.seen(message, last_note);
        let second = message.urgent && (unanswered || !reached && waited_s >= REACHED_NOBODY_S);
        let to = recipients.iter().filter(|r| !r.second || second);
        out.extend(to.filter(|r| is_due(ledger, message, &r.name, now)).map(|r| (message, r)));
    }
    out
}

/// Whether a message waits for the end of the quiet hours.
fn waits(told: &Told, watch: &Watch, zone: &TimeZone, now: Moment) -> bool {
    let m = &told.message;
    !decide::comes_anyway(m.kind, m.urgent, watch)
        && calendar::quiet_until(now, watch, zone).is_some()
}

/// Whether a later message tells another plan of the same night: only the last is worth reading.
fn outdated(ledger: &Ledger, n: usize) -> bool {
    let told = &ledger.told()[n];
    let same = |t: &&Told| t.message.night == told.message.night && t.subject.plan().is_some();
    told.subject.plan().is_some() && ledger.told().iter().skip(n + 1).any(|t| same(&t))
}

fn is_due(ledger: &Ledger, message: &Message, recipient: &str, now: Moment) -> bool {
    if ledger.reached(&message.id, recipient) {
        return false;
    }
    let mut tries = ledger.tries(&message.id, recipient).rev();
    let Some(last) = tries.next() else { return true };
    let times = u32::try_from(tries.count()).unwrap_or(u32::MAX).min(10);
    let pause = (PAUSE_S << times).min(LONGEST_PAUSE_S);
    // A clock that was set back begins anew.
    (now.0 - last.at.0).abs() >= pause
}
