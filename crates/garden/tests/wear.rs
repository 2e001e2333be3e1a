//! Sun taken and life used, from stretches made up so that the answer is plain.

use garden::wear::{Out, SEASON_YEARS, worn};
use garden::{Garden, file};
use quantities::daylight::extraterrestrial_radiation_mj_m2;
use quantities::{Interval, Moment};

const DAY_S: i64 = 86_400;
/// 2027-01-01T06:00Z, midnight at the demonstration garden.
const NEW_YEAR: i64 = 1_798_783_200;

fn wisconsin() -> Garden {
    file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden.expect("reads")
}

fn out(from_day: i64, to_day: i64, pieces: u32) -> Out {
    let at = |day: i64| Moment(NEW_YEAR + DAY_S * day);
    Out { interval: Interval { start: at(from_day), end: at(to_day) }, pieces }
}

/// A year out is a year of sun (to a five-hundredth: leap days); a June day counts for more than two December days; nights count
/// for nothing, days alone for all; pieces share, and more than there are never lie. A tolerance of 1 % is the day of the
/// year's.
#[test]
fn sheets_wear_as_they_lie() {
    let garden = wisconsin();
    let mut sheet = garden.stock.sheets[0].clone();
    (sheet.count, sheet.lasts_seasons) = (2, Some(3.0));
    let place = &garden.place;
    let worn = |out: &[Out]| worn(&sheet, place, out);
    let near = |a: f64, b: f64| assert!((a - b).abs() <= 0.01 * b.abs().max(0.01), "{a} and {b}");
    let year = worn(&[out(0, 365, 2)]);
    near(year.sun_years, 1.0);
    near(year.days, 365.0);
    near(year.life_years, 3.0 * SEASON_YEARS);
    for (used, wanted) in year.used().into_iter().zip([2.0 / 3.0, 1.0, 2.0]) {
        near(used, wanted);
    }
    assert!(year.near_end());
    // Over two pieces: one of them out half of the time is a quarter, two sheets out for one owned piece are what there is.
    near(worn(&[out(0, 365, 1)]).sun_years, 0.5);
    near(worn(&[out(0, 365, 2), out(0, 365, 1)]).sun_years, 1.0);
    near(worn(&[out(0, 200, 1), out(100, 365, 1)]).days, 0.5 * 465.0);
    let june = worn(&[out(171, 172, 2)]).sun_years;
    let december = worn(&[out(354, 355, 2)]).sun_years;
    assert!(june > 2.0 * december && june < 5.0 * december, "{june} {december}");
    let night = Out {
        interval: Interval {
            start: Moment(NEW_YEAR + DAY_S * 100 - 4 * 3600),
            end: Moment(NEW_YEAR + DAY_S * 100 + 5 * 3600),
        },
        pieces: 2,
    };
    assert_eq!(worn(&[night]).sun_years, 0.0);
    assert!(!worn(&[]).near_end() && worn(&[]).used() == [0.0; 3]);
    // A stretch that ends before it begins, as a clock set back may note it, is nothing.
    assert_eq!(worn(&[out(9, 3, 2)]).sun_years, 0.0);
}

/// What [`SEASON_YEARS`] stands for: 1 April to 31 May and 15 September to 15 November.
#[test]
fn a_season_is_a_third_of_a_years_sun() {
    for latitude in [35.0, 40.0, 45.0, 50.0] {
        let sum = |days: &mut dyn Iterator<Item = i32>| -> f64 {
            days.map(|j| extraterrestrial_radiation_mj_m2(latitude, f64::from(j))).sum()
        };
        let share = sum(&mut (91..=151).chain(258..=319)) / sum(&mut (1..=365));
        assert!((SEASON_YEARS - 0.01..0.40).contains(&share), "{latitude}: {share}");
    }
}
