//! What a station's past says of nights like this one, where there is no forecast.

use std::path::Path;

use garden::Garden;
use jiff::ToSpan as _;
use quantities::Moment;
use quantities::quantile::type_7;

use crate::format::GardenFormat;

/// Nights before and after the date that count as like it.
const AROUND_D: i32 = 5;
/// Fewer nights say nothing.
const LEAST: usize = 50;

/// How many of them froze and how cold one in ten was; `None` without a record or with too few such nights.
///
/// A night's low is booked on the day that it ends. Checked by `watch::without_a_forecast_the_station_s_past_is_told`.
pub fn nights_like_this(record: &Path, garden: &Garden, now: Moment) -> Option<String> {
    let record = super::read(record, garden).ok()?;
    let words = GardenFormat::new(garden.units, &garden.zone);
    let date = words.local_date(now).tomorrow().ok()?;
    let mut lows = Vec::new();
    for year in record.years() {
        // The 29th of February is taken for the 28th.
        let Ok(middle) =
            date.with().year(year).build().or_else(|_| date.with().year(year).day(28).build())
        else {
            continue;
        };
        for days in -AROUND_D..=AROUND_D {
            let day = middle.checked_add(days.days()).ok().and_then(|d| record.day(d));
            lows.extend(day.and_then(|d| d.tmin_c));
        }
    }
    if lows.len() < LEAST {
        return None;
    }
    lows.sort_by(f64::total_cmp);
    let froze = lows.partition_point(|low| *low < 0.0);
    let tenth = words.temperature(type_7(&lows, 0.1)?);
    let (first, last) = (record.years().start().to_owned(), record.years().end().to_owned());
    Some(format!(
        "At your station {froze} of {} nights around this date froze ({first} to {last}); one in ten was colder than {tenth}.",
        lows.len()
    ))
}
