//! Evenings and quiet hours by the clock of the garden.

use garden::watch::Watch;
use jiff::ToSpan as _;
use jiff::civil::time;
use quantities::Place;
use watch::calendar::{Evening, moment, quiet_until, zone};

use crate::scene::{PLACE, at};

/// Sunset and sunrise of 14 May at 43.6° N, 90.9° W by hand: with a declination of 18.6° and the centre of the sun 0.83° under
/// the horizon the hour angle is 110.0°, 7 h 20 min; noon is at 13:00 less 0.1 min (90.9° is 3.6 min west of the zone's
/// middle, the equation of time 3.7 min): 5:40 and 20:20, to two minutes.
#[test]
fn a_night_lasts_until_sunrise() {
    let z = crate::scene::zone();
    let date = |d: &str| -> jiff::civil::Date { d.parse().expect("a date") };
    let rows = [
        ("05-14T05:00", "2027-05-13"),
        ("05-14T06:00", "2027-05-14"),
        ("05-14T12:30", "2027-05-14"),
        ("05-14T23:59", "2027-05-14"),
        ("05-15T00:10", "2027-05-14"),
        ("05-15T05:30", "2027-05-14"),
        ("05-15T05:45", "2027-05-15"),
    ];
    for (now, expected) in rows {
        assert_eq!(Evening::at(at(now), &PLACE, &z).night, date(expected), "{now}");
    }
    let Evening { sunset, sunrise, .. } = Evening::at(at("05-14T12:30"), &PLACE, &z);
    assert!((sunset.0 - at("05-14T20:20").0).abs() <= 120, "{sunset:?}");
    assert!((sunrise.0 - at("05-15T05:39").0).abs() <= 120, "{sunrise:?}");
}

/// In the far north the sun may neither set nor rise: an evening still comes every day.
#[test]
fn every_day_has_its_evening_everywhere() {
    for latitude_deg in [-66.0, -34.0, 0.0, 52.0, 66.0] {
        let place = Place { latitude_deg, longitude_deg: 20.0, elevation_m: 0.0 };
        let z = zone("Europe/Oslo");
        let mut day: jiff::civil::Date = "2027-01-01".parse().expect("a date");
        let watch = Watch::default();
        for _ in 0..61 {
            let noon = moment(day, time(12, 0, 0, 0), &z);
            let evening = Evening::at(noon, &place, &z);
            let Evening { night, sunset, sunrise, .. } = evening;
            assert_eq!(night, day, "{latitude_deg}");
            assert!(sunrise > sunset && sunrise.0 - sunset.0 <= 86_400, "{latitude_deg} {day}");
            let told = evening.told_at(None, &watch, &z);
            assert!(
                told < sunset && told <= moment(day, watch.evening, &z),
                "{latitude_deg} {day}"
            );
            day = day.checked_add(6.days()).expect("a day");
        }
    }
}

#[test]
fn the_evening_is_told_before_the_work() {
    let z = crate::scene::zone();
    let watch = Watch::default();
    let told = |start: Option<&str>, date: &str| {
        let noon = at(&format!("{date}T12:30"));
        Evening::at(noon, &PLACE, &z).told_at(start.map(at), &watch, &z)
    };
    assert_eq!(told(None, "05-14"), at("05-14T15:00"));
    assert_eq!(told(Some("05-14T19:00"), "05-14"), at("05-14T15:00"));
    assert_eq!(told(Some("05-14T14:00"), "05-14"), at("05-14T13:00"));
    // The sun sets at 16:27 in December: an hour before that comes after 15:00 still; farther north it does not.
    assert_eq!(told(None, "12-14"), at("12-14T15:00"));
}

#[test]
fn quiet_hours_pass_midnight() {
    let z = crate::scene::zone();
    let night = Watch { quiet: Some((time(21, 30, 0, 0), time(6, 0, 0, 0))), ..Watch::default() };
    let noon = Watch { quiet: Some((time(12, 0, 0, 0), time(14, 0, 0, 0))), ..Watch::default() };
    let rows: [(&Watch, &str, Option<&str>); 8] = [
        (&night, "05-14T21:29", None),
        (&night, "05-14T21:30", Some("05-15T06:00")),
        (&night, "05-15T03:00", Some("05-15T06:00")),
        (&night, "05-15T06:00", None),
        (&noon, "05-14T13:00", Some("05-14T14:00")),
        (&noon, "05-14T15:00", None),
        // The night in which the clock goes forward from 2 to 3, and the one in which it goes back.
        (&night, "03-14T03:30", Some("03-14T06:00")),
        (&night, "11-07T01:30", Some("11-07T06:00")),
    ];
    for (watch, now, until) in rows {
        assert_eq!(quiet_until(at(now), watch, &z), until.map(at), "{now}");
    }
    assert_eq!(quiet_until(at("05-14T23:00"), &Watch::default(), &z), None);
}
