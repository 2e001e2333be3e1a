//! The low of a night, and what keeps it from being told.

use proptest::prelude::*;
use quantities::Moment;
use sensors::Reading;
use sensors::constants::COARSE_S;
use sensors::health::{Trouble, trouble};
use sensors::night::{NoLow, low};
use sensors::slot::Slot;

const SUNSET: Moment = Moment(0);
const SUNRISE: Moment = Moment(10 * 3600);

/// Rows of readings every so many minutes over a day that begins six hours before sunset.
fn rows(every_min: i64, celsius: impl Fn(f64) -> f64) -> Vec<Slot> {
    let mut out: Vec<Slot> = Vec::new();
    for minute in (-360..1080).step_by(every_min as usize) {
        let slot =
            Slot::of(Reading { at: Moment(minute * 60), celsius: celsius(minute as f64 / 60.0) });
        match out.last_mut().filter(|s| s.begins == slot.begins) {
            Some(same) => same.merge(&slot),
            None => out.push(slot),
        }
    }
    out
}

/// A clear night: falls from sunset on, lowest at sunrise.
fn clear(h: f64) -> f64 {
    if (0.0..=10.0).contains(&h) { 6.0 - 0.8 * h } else { 8.0 + 0.1 * (h % 3.0) }
}

#[test]
fn the_low_is_the_lowest_reading_of_the_night() {
    let found = low(&rows(1, clear), SUNSET, SUNRISE).expect("whole");
    assert!((found.celsius + 2.0).abs() < 0.02, "{found:?}");
    assert_eq!(found.at, Moment(10 * 3600));
}

#[test]
fn a_night_with_gaps_has_no_low() {
    let whole = rows(5, clear);
    let without = |from_h: i64, to_h: i64| -> Vec<Slot> {
        let out = |s: &&Slot| s.begins.0 < from_h * 3600 || s.begins.0 >= to_h * 3600;
        whole.iter().filter(out).copied().collect()
    };
    assert!(low(&without(3, 4), SUNSET, SUNRISE).is_ok(), "an hour may be missing");
    assert_eq!(low(&without(3, 5), SUNSET, SUNRISE), Err(NoLow::Gaps));
    assert_eq!(low(&without(8, 20), SUNSET, SUNRISE), Err(NoLow::Gaps), "the coldest hours");
    assert_eq!(low(&[], SUNSET, SUNRISE), Err(NoLow::Gaps));
    let seldom = rows(60, clear);
    assert_eq!(low(&seldom, SUNSET, SUNRISE), Err(NoLow::Gaps), "once an hour tells too little");
}

#[test]
fn a_sensor_that_is_stuck_or_silent_is_told_and_its_night_is_not_believed() {
    let stuck = rows(5, |_| 3.5);
    assert_eq!(low(&stuck, SUNSET, SUNRISE), Err(NoLow::Stuck));
    let last = stuck.last().expect("rows").last;
    let since = stuck.first().expect("rows").begins;
    assert_eq!(trouble(&stuck, last), Some(Trouble::Stuck { since, celsius: 3.5 }));
    assert_eq!(trouble(&stuck, last.plus_seconds(4 * 3600)), Some(Trouble::Silent { since: last }));
    assert_eq!(trouble(&rows(5, clear), last), None);
    // Half degrees, still for nine hours of fog: not stuck.
    let fog = rows(10, |h| {
        if h < -3.0 {
            4.0
        } else if h < 6.0 {
            3.5
        } else {
            3.0
        }
    });
    assert!(low(&fog, SUNSET, SUNRISE).is_ok());
}

proptest! {
    /// Coarser rows keep count, mean, lowest and highest.
    #[test]
    fn coarser_rows_keep_what_is_asked_of_them(values in prop::collection::vec(-20.0..30.0_f64, 1..400)) {
        let rows: Vec<Slot> = values.iter().enumerate()
            .map(|(i, c)| Slot::of(Reading { at: Moment(i as i64 * 600), celsius: *c })).collect();
        let coarse = Slot::coarser(&rows, COARSE_S);
        prop_assert_eq!(coarse.len(), values.len().div_ceil(6));
        prop_assert_eq!(coarse.iter().map(|s| s.count).sum::<u32>() as usize, values.len());
        let lowest = coarse.iter().map(|s| s.least_c).fold(f64::INFINITY, f64::min);
        prop_assert_eq!(lowest, values.iter().copied().fold(f64::INFINITY, f64::min));
        let mean = coarse.iter().map(|s| s.mean_c * f64::from(s.count)).sum::<f64>() / values.len() as f64;
        prop_assert!((mean - values.iter().sum::<f64>() / values.len() as f64).abs() < 1e-9);
        prop_assert_eq!(Slot::coarser(&coarse, COARSE_S), coarse);
    }
}
