//! Whether a garden's place and its time zone belong together.

use garden::Garden;
use jiff::civil::date;
use jiff::tz::{Offset, TimeZone};

/// Hours that the clock of a zone may be off the sun (chosen: the farthest on land are some 3 h off, in western China).
const MOST_OFF_H: f64 = 3.25;
/// Degrees that the sun goes in an hour.
const DEGREES_AN_HOUR: f64 = 15.0;

/// What is doubtful: the key it is about, what is odd, what was expected. At most one: a sign that was turned shows in
/// more than one way.
/// Checked by `bad_files::a_turned_sign_of_the_place_is_asked_about`.
pub fn doubts(garden: &Garden) -> Option<(&'static str, String, String)> {
    let zone = TimeZone::get(&garden.zone).ok()?;
    let (winter, summer) = (offset(&zone, 1)?, offset(&zone, 7)?);
    let (west_east, north_south) = (garden.place.longitude_deg, garden.place.latitude_deg);
    let hours = |offset: Offset| f64::from(offset.seconds()) / 3600.0;
    let off = |longitude: f64| {
        let off = hours(winter.min(summer)) - longitude / DEGREES_AN_HOUR;
        // Across the date line a day is no difference.
        (off + 12.0).rem_euclid(24.0) - 12.0
    };
    if off(west_east).abs() > MOST_OFF_H {
        let sign = off(-west_east).abs() <= MOST_OFF_H;
        let way = if sign { "the other sign, perhaps" } else { "a longitude in that zone" };
        let message = format!(
            "longitude {west_east} is {:.0} hours off the clock of {}",
            off(west_east).abs(),
            garden.zone
        );
        return Some(("longitude", message, format!("{way}: west of Greenwich is below zero")));
    }
    let northern = summer > winter;
    if summer != winter && northern != (north_south > 0.0) {
        let half = if northern { "north" } else { "south" };
        let message =
            format!("latitude {north_south} is not {half} of the equator, {} is", garden.zone);
        let way = "the other sign, perhaps: south of the equator is below zero".to_owned();
        return Some(("latitude", message, way));
    }
    None
}

/// The offset of a zone in the middle of a month.
fn offset(zone: &TimeZone, month: i8) -> Option<Offset> {
    let moment = date(2025, month, 15).at(12, 0, 0, 0).to_zoned_datetime(zone.clone()).ok()?;
    Some(moment.offset())
}
