//! The form by which a page sends a note, and the moment it names.

use garden::Garden;
use jiff::civil::{Date, DateTime, Time};
use jiff::tz::TimeZone;
use quantities::Moment;
use serde::Deserialize;

use crate::format::GardenFormat;

/// Everything the diary's form can send; what a kind of note does not need stays empty.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Note {
    /// Name of the entry, made when the form was shown.
    pub id: String,
    /// Which of the forms sent it.
    pub group: String,
    /// Kind of note.
    pub kind: String,
    /// Bed.
    pub bed: String,
    /// Sheet.
    pub sheet: String,
    /// Temperature in the garden's units.
    pub degrees: String,
    /// `1` where it is below zero, for keys without a minus.
    pub below: String,
    /// `open` or `under`.
    pub place: String,
    /// Share lost, percent.
    pub percent: String,
    /// Local day.
    pub day: String,
    /// Local time.
    pub time: String,
    /// `1` where a reading is right although it is far colder than anything near.
    pub anyway: String,
    /// The grower's own words.
    pub words: String,
}

/// The moment of a local day and time; now where both are empty; never one that is still to come.
pub fn moment(
    day: &str,
    time: &str,
    garden: &Garden,
    now: Moment,
) -> Result<Moment, (&'static str, String)> {
    let words = GardenFormat::new(garden.units, &garden.zone);
    let today = words.iso_date(now);
    let day = if day.trim().is_empty() { &today } else { day.trim() };
    let day: Date = day.parse().map_err(|_| ("day", "A day such as 2027-05-14.".to_owned()))?;
    if time.trim().is_empty() && day.to_string() == today {
        return Ok(now);
    }
    let time: Time = match time.trim() {
        "" => Time::midnight().with().hour(12).build().unwrap_or_default(),
        t => t.parse().map_err(|_| ("time", "A time such as 06:30.".to_owned()))?,
    };
    let zone = TimeZone::get(&garden.zone).unwrap_or(TimeZone::UTC);
    let zoned = zone.to_ambiguous_zoned_datetime(DateTime::from_parts(day, time)).compatible();
    let at = zoned.map_err(|e| ("day", e.to_string()))?.timestamp().as_second();
    if at > now.0 + 300 {
        return Err(("day", "That is still to come.".into()));
    }
    Ok(Moment(at))
}
