//! The evening as events of a calendar that a phone subscribes to: what to do and from when, what to open, and, for evenings
//! without a plan yet, to look oneself: that rings also when the program has died.

use evening::report::Report;
use garden::Garden;
use jiff::civil::Date;
use jiff::{Timestamp, ToSpan as _};
use quantities::Moment;

use crate::answers::calendar::{Event, When};
use crate::answers::tonight::brief::opens;
use crate::answers::tonight::wording::PlanWording;
use crate::format::GardenFormat;

/// Rings so long before the work must begin, and when it must, minutes.
const EVENING_RINGS_MIN: [i64; 2] = [60, 0];
/// Rings so long before the first cover must come off, minutes.
const MORNING_RINGS_MIN: [i64; 1] = [30];
/// The hour at which an evening is looked at where nothing else tells one (common practice, no source: an hour or two of light
/// is left all year).
const LOOK_HOUR: i8 = 15;
/// Evenings ahead that ring where no plan has come.
const FALLBACK_DAYS: i32 = 7;
/// Length of an event that has none of its own, minutes.
const LENGTH_MIN: i64 = 30;

/// The events at a moment; without a plan only those that ask to look.
///
/// Checked by `calendar::the_evening_rings_and_so_does_its_absence`.
pub fn of_evening(garden: &Garden, report: Option<&Report>, now: Moment) -> Vec<Event> {
    let words = GardenFormat::new(garden.units, &garden.zone);
    let uid = |key: &str, date: Date| uid(&garden.name, key, date);
    let mut out = Vec::new();
    let mut planned = None;
    if let Some(report) = report {
        let told = PlanWording::new(report, garden);
        let evening = words.local_date(report.sun.sunset);
        planned = Some(evening);
        let covers = !report.work.is_empty();
        let (summary, from) = if covers {
            (told.orders(), report.start_by.unwrap_or(report.asked_at))
        } else {
            let look = words.at_hour(evening, LOOK_HOUR).unwrap_or(report.sun.sunset);
            (format!("{}.", told.verdict()), look)
        };
        let length = report.sun.dark.0 - from.0;
        out.push(Event {
            uid: uid("evening", evening),
            when: time(from, length, if covers { &EVENING_RINGS_MIN } else { &[] }),
            summary,
            description: format!("Low {} {}.", told.low_range(), words.degree()),
        });
        let first = report.morning.iter().filter(|m| opens(m)).map(|m| m.by).min();
        if let Some(by) = first {
            out.push(Event {
                uid: uid("morning", evening),
                when: time(by, LENGTH_MIN * 60, &MORNING_RINGS_MIN),
                summary: told.morning_lead()[0].replace(" this morning", ""),
                description: String::new(),
            });
        }
    }
    let today = words.local_date(now);
    for n in 0..FALLBACK_DAYS {
        let Ok(date) = today.checked_add(n.days()) else { continue };
        let Some(from) = words.at_hour(date, LOOK_HOUR).filter(|f| *f > now) else { continue };
        if planned == Some(date) {
            continue;
        }
        out.push(Event {
            uid: uid("evening", date),
            when: time(from, LENGTH_MIN * 60, &[0]),
            summary: "No plan for tonight has come: look at the forecast yourself.".into(),
            description: "This goes away by itself when the plan of the evening comes.".into(),
        });
    }
    out
}

/// The lasting name of what a garden's calendar tells of a day.
pub fn uid(garden: &str, key: &str, date: Date) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
    let name: String = garden.chars().map(plain).collect();
    format!("{name}-{key}-{date}@rimefold.invalid")
}

fn time(from: Moment, seconds: i64, rings: &[i64]) -> When {
    let at = |m: Moment| Timestamp::from_second(m.0).unwrap_or_default();
    let to = from.plus_seconds(seconds.max(LENGTH_MIN * 60));
    When::Time { from: at(from), to: at(to), rings_min: rings.to_vec() }
}
