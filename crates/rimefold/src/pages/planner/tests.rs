//! Which night is shown when, and when a plan is made anew.

use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use evening::report::SunTimes;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use quantities::Moment;

use super::{Made, Planner, is_over};
use crate::exit::Exit;
use crate::outside::files;
use crate::pages::clock::Clock;

const GARDEN: &str = include_str!("../../../../../demo/jura/garden.toml");
const FORECAST: &str = include_str!("../../../../../demo/jura/forecast.json");

/// A local time in Paris.
fn paris(words: &str) -> Moment {
    let local: DateTime = words.parse().unwrap();
    let zone = TimeZone::get("Europe/Paris").unwrap();
    Moment(local.to_zoned_datetime(zone).unwrap().timestamp().as_second())
}

/// The sun of the night from 14 to 15 May 2027, to the quarter hour.
fn sun() -> SunTimes {
    SunTimes {
        sunset: paris("2027-05-14T21:00"),
        dark: paris("2027-05-14T21:30"),
        sunrise: paris("2027-05-15T06:00"),
    }
}

#[test]
fn a_plan_serves_two_hours_by_day_then_the_night_and_the_morning() {
    let made = paris("2027-05-14T16:00");
    for (now, hour, over) in [
        ("2027-05-14T17:59", 17, false),
        ("2027-05-14T18:01", 18, true),
        ("2027-05-14T21:01", 21, false),
        ("2027-05-15T03:00", 3, false),
        ("2027-05-15T05:59", 5, false),
        ("2027-05-15T10:59", 10, false),
        ("2027-05-15T11:00", 11, true),
        // The machine slept for two days and wakes before dawn.
        ("2027-05-17T04:00", 4, true),
    ] {
        assert_eq!(is_over(&sun(), hour, made, paris(now)), over, "{now}");
    }
}

#[test]
fn a_clock_that_is_set_back_makes_a_new_plan_and_a_trimmed_one_does_not() {
    let made = paris("2027-05-14T16:00");
    assert!(!is_over(&sun(), 15, made, paris("2027-05-14T15:55")));
    assert!(is_over(&sun(), 15, made, paris("2027-05-14T15:00")));
    assert!(is_over(&sun(), 16, made, paris("2026-05-14T16:00")));
    // At night too.
    assert!(is_over(&sun(), 1, paris("2027-05-15T03:00"), paris("2027-05-15T01:00")));
}

/// A planner over a folder of its own, and how many plans it has made.
struct Trial {
    folder: tempfile::TempDir,
    planner: Arc<Planner>,
    plans: Arc<AtomicUsize>,
    made: Option<Made>,
}

impl Trial {
    fn new(at: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let plans = Arc::new(AtomicUsize::new(0));
        let count = Arc::clone(&plans);
        let clock = Clock::from(paris(at));
        let planner = Planner::new(folder.path().to_path_buf(), clock, move |_, _, _, _| {
            count.fetch_add(1, Ordering::Relaxed);
        });
        let trial = Self { folder, planner, plans, made: None };
        trial.write("garden.toml", GARDEN);
        trial.write("forecast.json", FORECAST);
        trial
    }

    fn path(&self, name: &str) -> std::path::PathBuf {
        Path::new(self.folder.path()).join(name)
    }

    fn write(&self, name: &str, text: &str) {
        files::replace(&self.path(name), text).unwrap();
    }

    /// Moves the clock.
    fn at(&mut self, at: &str) {
        Arc::get_mut(&mut self.planner).unwrap().clock = Clock::from(paris(at));
    }

    /// Looks once; how many plans were told to the diary by now.
    fn look(&mut self) -> usize {
        self.planner.look_unharmed(&mut self.made);
        assert!(!self.planner.evening().working, "it says when it is done");
        self.plans.load(Ordering::Relaxed)
    }

    /// The local evening of the plan that is shown.
    fn night(&self) -> String {
        let evening = self.planner.evening();
        let (report, garden) = (evening.report.unwrap(), evening.planned_for.unwrap());
        let words = crate::format::GardenFormat::new(garden.units, &garden.zone);
        words.iso_date(report.sun.sunset)
    }

    fn trouble(&self) -> Exit {
        self.planner.evening().trouble.unwrap().code
    }
}

#[test]
fn a_plan_is_made_once_and_anew_only_when_an_input_changes() {
    let mut t = Trial::new("2027-05-14T16:00");
    assert_eq!(t.look(), 1);
    for _ in 0..5 {
        assert_eq!(t.look(), 1);
    }
    assert_eq!(t.night(), "2027-05-14");
    let nights = t.planner.evening().week.map(|w| w.nights.len());
    assert!(nights.is_some_and(|n| n > 1), "nights ahead: {nights:?}");
    t.write("garden.toml", &GARDEN.replace("pins = 60", "pins = 61"));
    assert_eq!((t.look(), t.look()), (2, 2));
    t.write("forecast.json", FORECAST);
    assert_eq!((t.look(), t.look()), (3, 3));
    t.write("diary.sqlite", "not an input");
    t.write("station.csv", "not an input");
    assert_eq!(t.look(), 3);
}

#[test]
fn the_night_that_is_shown_follows_the_clock() {
    let mut t = Trial::new("2027-05-14T16:00");
    t.look();
    // In the dark and in the morning it is the night that ends; from eleven the next one.
    for (now, night, plans) in [
        ("2027-05-14T17:30", "2027-05-14", 1),
        ("2027-05-14T18:30", "2027-05-14", 2),
        ("2027-05-15T02:00", "2027-05-14", 2),
        ("2027-05-15T10:30", "2027-05-14", 2),
        ("2027-05-15T11:30", "2027-05-15", 3),
        // Set back to the afternoon before.
        ("2027-05-14T16:00", "2027-05-14", 4),
    ] {
        t.at(now);
        assert_eq!((t.look(), t.night().as_str()), (plans, night), "{now}");
    }
}

#[test]
fn what_changes_in_the_dark_makes_a_plan_of_the_same_night() {
    // What is planned in the morning of the night that ends was not said the evening before, and is not kept as said.
    for (now, said) in [
        ("2027-05-14T21:45", 1),
        ("2027-05-14T23:30", 1),
        ("2027-05-15T03:00", 1),
        ("2027-05-15T08:00", 0),
    ] {
        let mut t = Trial::new(now);
        assert_eq!(t.look(), said, "{now}");
        assert_eq!(t.night(), "2027-05-14", "{now}");
    }
}

#[test]
fn a_forecast_that_ran_out_is_told_and_a_new_one_mends_it() {
    let mut t = Trial::new("2027-06-14T16:00");
    assert_eq!(t.look(), 0);
    assert_eq!(t.trouble(), Exit::Unsuitable);
    assert!(t.planner.evening().garden.is_some(), "beds can still be shown");
    t.write("forecast.json", &FORECAST.replace("2027-05-", "2027-06-"));
    assert_eq!((t.look(), t.night().as_str()), (1, "2027-06-14"));
    assert!(t.planner.evening().trouble.is_none());
}

#[test]
fn a_garden_file_broken_by_hand_is_told_and_mends_itself() {
    let mut t = Trial::new("2027-05-14T16:00");
    t.look();
    t.write("garden.toml", &GARDEN.replace("pins = 60", "pins = sixty"));
    assert_eq!(t.look(), 1);
    assert_eq!(t.trouble(), Exit::Garden);
    assert!(t.planner.evening().report.is_none(), "no plan for a garden that is not known");
    t.write("garden.toml", GARDEN);
    assert_eq!((t.look(), t.night().as_str()), (2, "2027-05-14"));
    assert!(t.planner.evening().trouble.is_none());
}

#[test]
fn a_fault_of_ours_is_told_and_ends_with_the_input_that_caused_it() {
    let mut t = Trial::new("2027-05-14T16:00");
    let breaks = |garden: &garden::Garden| garden.name == "Breaks";
    let planner =
        Planner::new(t.folder.path().to_path_buf(), t.planner.clock, move |garden, _, _, _| {
            // Any panic will do.
            let names: &[&str] = if breaks(garden) { &[] } else { &["whole"] };
            assert_eq!(names.len(), 1);
        });
    t.planner = planner;
    t.write("garden.toml", &GARDEN.replace("Plateau garden", "Breaks"));
    t.look();
    assert_eq!(t.trouble(), Exit::Bug);
    t.write("garden.toml", GARDEN);
    t.look();
    assert_eq!(t.night(), "2027-05-14");
}
