//! Upkeep as whole days of a calendar.

use diary::entries::JudgedEntry;
use evening::report::Report;
use garden::Garden;
use quantities::Moment;

use super::{Kind, coming, words};
use crate::answers::calendar::{Event, When};
use crate::answers::tonight::events::uid;

/// Days ahead that a calendar holds, since some look for changes only a few times a day or week.
const AHEAD_D: i32 = 7;

/// The events from today on.
///
/// Checked by `upkeep::upkeep_is_one_whole_day_a_day`.
pub fn of_upkeep(
    garden: &Garden,
    entries: &[JudgedEntry],
    report: Option<&Report>,
    now: Moment,
) -> Vec<Event> {
    let event = |u: super::Upkeep| {
        let key = match u.kind {
            Kind::Snow => "snow",
            Kind::Wind => "wind",
            Kind::Voles | Kind::SheetEnd | Kind::Mice => "upkeep",
        };
        Event {
            uid: uid(&garden.name, key, u.date),
            when: When::Days { first: u.date, last: u.date },
            summary: words::sentence(&u, garden),
            description: String::new(),
        }
    };
    coming(garden, entries, report, now, AHEAD_D).into_iter().map(event).collect()
}
