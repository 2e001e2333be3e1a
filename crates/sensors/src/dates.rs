//! The dates of a logger's file: which order, which zone.

use jiff::civil::DateTime;
use jiff::tz::{AmbiguousOffset, Offset, TimeZone};
use quantities::Moment;

/// Which comes first in a date such as 03/04/2027.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// 3 April.
    DayFirst,
    /// 4 March.
    MonthFirst,
}

/// What is known of the dates of a file.
#[derive(Clone, Debug)]
pub struct Dates {
    /// The zone of times that name none.
    pub zone: TimeZone,
    /// The order; `None` where no date of the file needs it.
    pub order: Option<Order>,
}

/// The parts of one date and time as written.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Written {
    /// Seconds since 1970.
    Unix(i64),
    /// Year, month and day known.
    Known(i16, i8, i8),
    /// Two numbers before the year, in an order to be told.
    Either(i8, i8, i16),
    /// Day before month, as dots have it.
    DayFirst(i8, i8, i16),
}

/// What the dates of a file tell of their order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// No date needs it.
    NotNeeded,
    /// This one, by a number above 12.
    By(Order),
    /// Both, which cannot be.
    Both,
    /// Neither: it must be asked.
    Neither,
}

/// What the dates of a file tell of their order.
pub fn order_told<'a>(dates: impl Iterator<Item = &'a str>) -> Told {
    let (mut day, mut month, mut either) = (false, false, false);
    for date in dates {
        if let Some((Written::Either(a, b, _), _)) = split(date) {
            either = true;
            day |= a > 12;
            month |= b > 12;
        }
    }
    match (either, day, month) {
        (false, ..) => Told::NotNeeded,
        (_, true, true) => Told::Both,
        (_, true, false) => Told::By(Order::DayFirst),
        (_, false, true) => Told::By(Order::MonthFirst),
        (_, false, false) => Told::Neither,
    }
}

/// The moment of a date and time as written; `after` is the moment of the row before, which tells the two hours apart that a
/// change of the clocks gives twice. `None` where it is no date and time.
///
/// Read are `2027-05-14 03:00`, `2027-05-14T03:00:00Z`, `05/14/27 03:00:00 AM`, `14.05.2027 03:00`, seconds since 1970.
/// Checked by `logger::dates_as_loggers_write_them`.
#[must_use]
pub fn moment(text: &str, dates: &Dates, after: Option<Moment>) -> Option<Moment> {
    let text = text.trim();
    if let Ok(at) = text.parse::<jiff::Timestamp>() {
        return Some(Moment(at.as_second()));
    }
    let (date, rest) = split(text)?;
    let (year, month, day) = match (date, dates.order) {
        (Written::Unix(s), _) => return Some(Moment(s)),
        (Written::Known(y, m, d), _) => (y, m, d),
        (Written::DayFirst(d, m, y), _) | (Written::Either(d, m, y), Some(Order::DayFirst)) => {
            (y, m, d)
        }
        (Written::Either(m, d, y), Some(Order::MonthFirst)) => (y, m, d),
        (Written::Either(..), None) => return None,
    };
    let (hour, minute, second) = clock(rest)?;
    let local = DateTime::new(year, month, day, hour, minute, second, 0).ok()?;
    let ambiguous = dates.zone.to_ambiguous_zoned_datetime(local);
    let zoned = match ambiguous.offset() {
        AmbiguousOffset::Fold { .. } => {
            let first = ambiguous.clone().earlier().ok()?;
            let passed = after.is_some_and(|a| first.timestamp().as_second() <= a.0);
            if passed { ambiguous.later().ok()? } else { first }
        }
        _ => ambiguous.compatible().ok()?,
    };
    Some(Moment(zoned.timestamp().as_second()))
}

/// A zone that a heading names: `GMT-05:00`, `UTC`.
#[must_use]
pub fn zone_of_heading(heading: &str) -> Option<TimeZone> {
    let upper = heading.to_uppercase();
    let at = ["GMT", "UTC"].iter().find_map(|w| upper.find(w).map(|i| i + w.len()))?;
    let rest: String = upper[at..].chars().filter(|c| !c.is_whitespace()).collect();
    let sign = match rest.chars().next() {
        Some('+') => 1,
        Some('-' | '−') => -1,
        _ => return Some(TimeZone::UTC),
    };
    let number: String =
        rest.chars().skip(1).take_while(|c| c.is_ascii_digit() || *c == ':').collect();
    let (hours, minutes) = match number.split_once(':') {
        Some((h, m)) => (h.parse::<i32>().ok()?, m.parse::<i32>().ok()?),
        None if number.len() > 2 => (number[..2].parse().ok()?, number[2..].parse().ok()?),
        None => (number.parse().ok()?, 0),
    };
    let seconds = sign * (hours * 3600 + minutes * 60);
    Some(TimeZone::fixed(Offset::from_seconds(seconds).ok()?))
}

/// The date at the start of a text and what follows it.
fn split(text: &str) -> Option<(Written, &str)> {
    let text = text.trim();
    let end = text.find(|c: char| c.is_whitespace() || c == 'T' || c == ',').unwrap_or(text.len());
    let (date, rest) = (&text[..end], &text[end..]);
    if date.len() >= 9 && date.bytes().all(|b| b.is_ascii_digit()) && rest.trim().is_empty() {
        return Some((Written::Unix(date.parse().ok()?), ""));
    }
    let mark = date.chars().find(|c| !c.is_ascii_digit())?;
    let parts: Vec<&str> = date.split(mark).filter(|p| !p.is_empty()).collect();
    let [a, b, c] = parts.as_slice() else { return None };
    if a.len() == 4 {
        return Some((Written::Known(a.parse().ok()?, b.parse().ok()?, c.parse().ok()?), rest));
    }
    let year = match c.len() {
        4 => c.parse::<i16>().ok()?,
        2 => 2000 + c.parse::<i16>().ok()?,
        _ => return None,
    };
    let (a, b) = (a.parse().ok()?, b.parse().ok()?);
    Some((
        if mark == '.' { Written::DayFirst(a, b, year) } else { Written::Either(a, b, year) },
        rest,
    ))
}

/// Hour, minute, second of a time such as `T03:00:00.000`, ` 3:00 PM`.
fn clock(text: &str) -> Option<(i8, i8, i8)> {
    let text = text.trim_start_matches(['T', ',', ' ', '\t']).trim().to_uppercase();
    let digits: String =
        text.chars().take_while(|c| c.is_ascii_digit() || matches!(c, ':' | '.')).collect();
    let half: String = text[digits.len()..].chars().filter(char::is_ascii_alphabetic).collect();
    let mut parts = digits.split(':');
    let hour: i8 = parts.next()?.parse().ok()?;
    let minute: i8 = parts.next()?.parse().ok()?;
    let second: i8 = match parts.next() {
        Some(s) => s.split('.').next()?.parse().ok()?,
        None => 0,
    };
    let hour = match half.as_str() {
        "" => hour,
        "AM" if (1..=12).contains(&hour) => hour % 12,
        "PM" if (1..=12).contains(&hour) => hour % 12 + 12,
        _ => return None,
    };
    Some((hour, minute, second))
}
