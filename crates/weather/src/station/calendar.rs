//! Dates as day numbers, so that a year of days is a run of integers.

use jiff::civil::Date;

use crate::constants::RECORD_YEARS;

/// Days since 1970-01-01 in the Gregorian calendar.
///
/// Counts years from March, so that the leap day is the last of its year. Checked by `station::days_count_as_jiff_does`.
#[must_use]
pub fn day_number(date: Date) -> i32 {
    let (y, m, d) = (i32::from(date.year()), i32::from(date.month()), i32::from(date.day()));
    let y = if m <= 2 { y - 1 } else { y };
    let day_of_year = (153 * ((m + 9) % 12) + 2) / 5 + d - 1;
    365 * y + y.div_euclid(4) - y.div_euclid(100) + y.div_euclid(400) + day_of_year - 719_468
}

/// The date of a day number; days outside the years −9999 to 9999 give the nearest date there is.
#[must_use]
pub fn date_of(number: i32) -> Date {
    let z = i64::from(number) + 719_468;
    let era = z.div_euclid(146_097);
    let doe = z.rem_euclid(146_097);
    let yoe = (doe - doe / 1460 + doe / 36_524 - doe / 146_096) / 365;
    let doy = doe - (365 * yoe + yoe / 4 - yoe / 100);
    let mp = (5 * doy + 2) / 153;
    let month = if mp < 10 { mp + 3 } else { mp - 9 };
    let year = yoe + era * 400 + i64::from(month <= 2);
    let day = doy - (153 * mp + 2) / 5 + 1;
    let edge = if number < 0 { Date::MIN } else { Date::MAX };
    i16::try_from(year).ok().and_then(|y| Date::new(y, month as i8, day as i8).ok()).unwrap_or(edge)
}

/// The day number of a date inside the years of [`RECORD_YEARS`], or `None` where there is no such day.
#[must_use]
pub fn checked(year: i32, month: i32, day: i32) -> Option<i32> {
    let year =
        i16::try_from(year).ok().filter(|y| (RECORD_YEARS.0..=RECORD_YEARS.1).contains(y))?;
    Date::new(year, i8::try_from(month).ok()?, i8::try_from(day).ok()?).ok().map(day_number)
}
