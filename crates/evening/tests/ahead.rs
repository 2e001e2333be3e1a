//! The nights ahead: each night its own plan, its doubt growing with the lead; courses agree with what is said of the night.

use evening::ahead::nights;
use evening::learned::Learned;
use evening::report::Report;
use evening::{Settings, tonight};
use garden::file;
use garden::lying::GardenState;
use quantities::Moment;

/// 14 May 2027, 16:00 in Chicago.
const ASKED: Moment = Moment(1_810_328_400);

fn ahead() -> Vec<Report> {
    let garden = file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden;
    let forecast = weather::read(include_bytes!("../../../demo/wisconsin/forecast.json"));
    let past = weather::read(include_bytes!("../../../demo/wisconsin/past.csv")).expect("reads");
    let (garden, forecast) = (garden.expect("reads"), forecast.expect("reads"));
    let first = tonight(
        &garden,
        &GardenState::of_file(&garden, ASKED),
        &forecast,
        Some(&past),
        ASKED,
        Settings::default(),
    );
    let first = first.expect("a plan");
    nights(&garden, &forecast, Some(&past), first, Settings::default(), &Learned::default())
        .expect("nights")
}

#[test]
fn each_night_is_its_own_plan() {
    let all = ahead();
    assert!(all.len() >= 2, "{} nights", all.len());
    for two in all.windows(2) {
        let days = two[1].sun.sunset.hours_since(two[0].sun.sunset) / 24.0;
        assert!((days - 1.0).abs() < 0.01, "{days} days between two nights");
    }
    let garden =
        file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden.expect("reads");
    let forecast =
        weather::read(include_bytes!("../../../demo/wisconsin/forecast.json")).expect("reads");
    let past = weather::read(include_bytes!("../../../demo/wisconsin/past.csv")).expect("reads");
    let second = all[1].asked_at;
    let alone = tonight(
        &garden,
        &GardenState::of_file(&garden, second),
        &forecast,
        Some(&past),
        second,
        Settings::default(),
    );
    assert_eq!(alone.as_ref(), Ok(&all[1]));
}

/// Published forecast errors grow with the lead (science.md: errors of a forecast).
#[test]
fn doubt_grows_with_the_days() {
    let all = ahead();
    let width = |r: &Report| r.weather.garden_low_c.p90 - r.weather.garden_low_c.p10;
    let (first, last) = (width(&all[0]), width(&all[all.len() - 1]));
    assert!(last > 1.05 * first, "{first} K tonight, {last} K on the last night");
}

#[test]
fn a_night_s_course_holds_its_coldest_half_hour() {
    for r in ahead() {
        for b in &r.beds {
            let lowest = b.open_temperatures.half_hours.iter().map(|s| s.p50).fold(99.0, f64::min);
            // The coldest half-hour of each night lies at or below the coldest median of any fixed half-hour.
            assert!(b.open.leaf_low_c.p50 <= lowest + 0.15, "{}: {lowest}", b.bed);
            assert!(b.open.leaf_low_c.p50 > lowest - 4.0, "{}: {lowest}", b.bed);
            assert_eq!(b.covered_temperatures.is_some(), b.chosen.is_some(), "{}", b.bed);
        }
    }
}
