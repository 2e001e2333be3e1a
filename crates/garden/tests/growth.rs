//! Degree-days against their definition and published figures; crops against seed packets; laws of growth.

use garden::crops::{self, CropId};
use garden::growth::{self, Day, Growth, Method, Shelter, Start, degree_days, light, pests, walk};
use proptest::prelude::*;

const COURSES: [Method; 2] = [Method::Sine, Method::Triangle];

fn crop(name: &str) -> CropId {
    crops::find(name).unwrap_or_else(|| panic!("no {name}"))
}

fn growing(name: &str) -> Growth {
    growth::crop_growth(crop(name)).unwrap_or_else(|| panic!("{name} does not grow"))
}

fn day(mean_c: f64, day_length_h: f64) -> Day {
    Day { tmin_c: Some(mean_c - 6.0), tmax_c: Some(mean_c + 6.0), day_length_h, light_share: 1.0 }
}

/// Days from `start` to first picking in a season of equal days.
fn days_to_picking(name: &str, start: Start, day: Day) -> usize {
    let progress = walk(&growing(name), start, &[day; 700]).expect("it is begun that way");
    progress.first_picking.map_or(usize::MAX, |i| i + 1)
}

/// The definition, integrated with the midpoint rule at 20 000 points: its error is below 1e-6 K·d.
#[test]
fn degree_days_are_the_mean_of_the_clipped_course() {
    let n = 20_000;
    for (low, high) in
        [(2.0, 9.0), (2.0, 18.0), (8.0, 34.0), (12.0, 24.0), (31.0, 40.0), (7.0, 7.0)]
    {
        for (base, upper) in [(4.4, 30.0), (10.0, 30.0), (10.0, 15.0), (9.0, f64::INFINITY)] {
            for method in COURSES {
                let mean: f64 = (0..n)
                    .map(|i| {
                        let t = (f64::from(i) + 0.5) / f64::from(n);
                        let wave = match method {
                            Method::Sine => (std::f64::consts::TAU * t).sin(),
                            _ => 1.0 - 4.0 * (t - 0.5).abs(),
                        };
                        let c = 0.5 * (low + high) + 0.5 * (high - low) * wave;
                        c.clamp(base, upper) - base
                    })
                    .sum::<f64>()
                    / f64::from(n);
                let got = degree_days(low, high, base, upper, method);
                assert!(
                    (got - mean).abs() < 1e-5,
                    "{low} {high} {base} {upper} {method:?} {got} {mean}"
                );
            }
        }
    }
}

/// NOAA: 92/46 °F at 50/86 is 18, by the plain mean 19. Univ. of California, citrus table: 64 − 53 = 11 °F·d.
#[test]
fn published_degree_days() {
    assert_eq!(degree_days(46.0, 92.0, 50.0, 86.0, Method::Clipped), 18.0);
    assert_eq!(degree_days(46.0, 92.0, 50.0, f64::INFINITY, Method::Average), 19.0);
    assert_eq!(degree_days(54.0, 74.0, 53.0, f64::INFINITY, Method::Average), 11.0);
}

/// The formulas of the meteorological services (Met Éireann's page): with the base between minimum and mean
/// ½(Tx − b) − ¼(b − Tn), between mean and maximum ¼(Tx − b). They are approximations themselves, up to 0.07 of half the
/// day's swing from either course.
#[test]
fn degree_days_agree_with_the_meteorological_approximation() {
    for base in [6.0, 8.0, 10.0, 11.9, 12.1, 14.0, 17.0, 19.0] {
        let (low, high): (f64, f64) = (4.0, 20.0);
        let published = if base < 12.0 {
            0.5 * (high - base) - 0.25 * (base - low)
        } else {
            0.25 * (high - base)
        };
        for method in COURSES {
            let got = degree_days(low, high, base, f64::INFINITY, method);
            assert!((got - published).abs() < 0.07 * 8.0, "{base} {method:?} {got} {published}");
        }
    }
}

proptest! {
    #[test]
    fn degree_days_keep_their_order(
        low in -10.0..35.0_f64, swing in 0.0..25.0_f64, base in 0.0..15.0_f64, more in 0.0..10.0_f64, shift in -20.0..20.0_f64,
    ) {
        let (high, upper) = (low + swing, base + 20.0);
        for method in [Method::Sine, Method::Triangle, Method::Clipped, Method::Average] {
            let dd = |l: f64, h: f64, b: f64, u: f64| degree_days(l, h, b, u, method);
            let here = dd(low, high, base, upper);
            prop_assert!((0.0..=upper - base).contains(&here));
            prop_assert!(dd(low + more, high + more, base, upper) >= here - 1e-9);
            prop_assert!(dd(low, high + more, base, upper) >= here - 1e-9);
            prop_assert!(dd(low, high, base + more, upper) <= here + 1e-9);
            prop_assert!(dd(low, high, base, upper + more) >= here - 1e-9);
            prop_assert!((dd(low + shift, high + shift, base + shift, upper + shift) - here).abs() < 1e-9);
            prop_assert!((dd(high, low, base, upper) - here).abs() < 1e-12, "the order of the two does not matter");
        }
        // A course that dips below the base loses nothing there (Jensen).
        for method in COURSES {
            let free = degree_days(low, high, base, f64::INFINITY, method);
            prop_assert!(free >= degree_days(low, high, base, f64::INFINITY, Method::Average) - 1e-9);
        }
    }

    #[test]
    fn more_warmth_light_or_daylight_is_never_later(
        mean in 6.0..22.0_f64, hours in 8.0..16.0_f64, share in 0.4..1.0_f64, more in 0.0..3.0_f64, pick in 0..60_usize,
    ) {
        let id = crops::all().nth(pick % crops::all().count()).expect("a crop");
        let g = growth::crop_growth(id).expect("it grows");
        let Some(start) = g.start else { return Ok(()) };
        let plain = Day { light_share: share, ..day(mean, hours) };
        let first = |d: Day| {
            walk(&g, start, &[d; 500]).expect("its own start").first_picking.unwrap_or(usize::MAX)
        };
        let here = first(plain);
        let longer = Day { day_length_h: hours + more, ..plain };
        let brighter = Day { light_share: (share + 0.1 * more).min(1.0), ..plain };
        prop_assert!(first(longer) <= here);
        prop_assert!(first(brighter) <= here);
        let warmer = Shelter { day_gain_k: more, night_gain_k: 0.5 * more, light_share: 1.0 };
        prop_assert!(first(plain.under(&warmer)) <= here);
        let dimmer = Shelter { day_gain_k: 0.0, night_gain_k: 0.0, light_share: 0.8 };
        prop_assert!(first(plain.under(&dimmer)) >= here);
    }
}

#[test]
fn every_crop_has_its_row() {
    for id in crops::all() {
        let name = crops::name(id);
        let g = growth::crop_growth(id).unwrap_or_else(|| panic!("{name} has no row"));
        assert!(g.base_c < g.upper_c, "{name}");
        assert_eq!(g.start.is_some(), g.days.is_some(), "{name}");
        if let (Some(at), Some(start)) = (g.at_c, g.start) {
            assert!(g.base_c < at && at < g.upper_c, "{name}");
            assert!(g.to_picking(start).is_some_and(|dd| dd > 50.0), "{name}");
        }
    }
    let table: toml::Table = include_str!("../src/growth/table.toml").parse().expect("a table");
    let rows = table["crop"].as_array().expect("rows");
    assert_eq!(rows.len(), crops::all().count());
    for row in rows {
        let name = row["name"].as_str().expect("a name");
        let known = crops::gdd_base_c(crop(name)).is_some();
        assert_ne!(known, row.get("base_f").is_some(), "{name}: one base, in one table");
    }
}

#[test]
fn usual_days_come_back_at_usual_warmth() {
    for id in crops::all() {
        let g = growth::crop_growth(id).expect("a row");
        let (Some(start), Some([least, most]), Some(at)) = (g.start, g.days, g.at_c) else {
            continue;
        };
        let days = days_to_picking(crops::name(id), start, day(at, 14.0));
        assert!((least as usize..=most as usize).contains(&days), "{} {days}", crops::name(id));
    }
}

/// Common practice (seed packets and growers' calendars), no source. The temperatures are means of day and night; the
/// cool and the warm rows are not those at which the table's days hold.
#[test]
fn crops_take_the_days_of_the_trade() {
    for (name, start, mean_c, least, most) in [
        ("snap bean", Start::Sown, 20.0, 50, 60),
        ("snap bean", Start::Sown, 24.0, 38, 50),
        ("radish", Start::Sown, 15.0, 25, 30),
        ("radish", Start::Sown, 11.0, 32, 45),
        ("lettuce", Start::SetOut, 17.0, 45, 60),
        ("spinach", Start::Sown, 13.0, 40, 50),
        ("kale", Start::SetOut, 16.0, 35, 55),
        ("pea", Start::Sown, 15.0, 56, 75),
        ("tomato", Start::SetOut, 21.0, 60, 85),
        ("tomato", Start::SetOut, 18.0, 80, 120),
        ("summer squash", Start::Sown, 21.0, 42, 55),
        ("sweet corn", Start::Sown, 19.0, 75, 100),
        ("strawberry", Start::Bloom, 18.0, 25, 32),
    ] {
        let days = days_to_picking(name, start, day(mean_c, 14.0));
        assert!((least..=most).contains(&days), "{name} at {mean_c} °C: {days} days");
    }
}

/// Sums used by processors, from memory: early sweet corn 1300 to 1700 °F·d at 50/86; early peas 1100 to 1400 at 40 °F.
#[test]
fn sums_meet_those_of_processors() {
    for (name, least, most) in [("sweet corn", 1300.0, 1700.0), ("pea", 1100.0, 1400.0)] {
        let sum_f = growing(name).to_picking(Start::Sown).expect("sown") * 1.8;
        assert!((least..=most).contains(&sum_f), "{name} {sum_f}");
    }
}

#[test]
fn short_days_and_dim_light_slow_growth() {
    assert_eq!(light::speed_by_day_length(10.0), 1.0);
    assert_eq!(light::speed_by_day_length(16.0), 1.0);
    assert!((light::speed_by_day_length(9.0) - 0.625).abs() < 1e-12);
    assert_eq!(light::speed_by_day_length(0.0), 0.25);
    let (long, short) = (day(10.0, 10.0), day(10.0, 9.0));
    let days = |d| days_to_picking("spinach", Start::Sown, d) as f64;
    assert!((days(short) * 0.625 - days(long)).abs() <= 1.0);
    let kale = growing("kale");
    let dim = Day { light_share: 0.5, ..long };
    let ratio = dim.growth(&kale).expect("known") / long.growth(&kale).expect("known");
    assert!((ratio - 0.5_f64.powf(kale.light_exponent)).abs() < 1e-12);
}

/// Dry weight from 8 to 14 mol/m²/d: lettuce +203 %, kale +47 %, spinach +42 % (a published trial). Grown back: with speed
/// (14/8)^e a plant reaches W times the hundredfold.
#[test]
fn the_exponents_of_light_come_from_measured_gains() {
    for (name, gain) in [("lettuce", 3.03_f64), ("kale", 1.47), ("spinach", 1.42)] {
        let speed = (14.0_f64 / 8.0).powf(growing(name).light_exponent);
        assert!((100_f64.powf(speed) / 100.0 - gain).abs() < 1e-9, "{name}");
        assert_eq!(growing(name).light_mol, Some(12.0));
    }
}

/// 0.45 · 4.57 = 2.06 mol a megajoule; a June day of 25 MJ under a sheet that passes 0.8 gives 41 mol.
#[test]
fn daily_light_of_a_day_of_sun() {
    assert!((light::daily_light_mol(1.0, 1.0) - 2.06).abs() < 0.005);
    assert!((light::daily_light_mol(25.0, 0.8) - 41.1).abs() < 0.1);
}

#[test]
fn days_that_are_not_known_add_nothing() {
    let g = growing("radish");
    let hole = Day { tmin_c: None, ..day(15.0, 14.0) };
    let days: Vec<Day> = (0..80).map(|i| if i % 2 == 0 { hole } else { day(15.0, 14.0) }).collect();
    let with_holes = walk(&g, Start::Sown, &days).expect("sown");
    assert_eq!(with_holes.days_unknown, 40);
    let whole = days_to_picking("radish", Start::Sown, day(15.0, 14.0));
    assert_eq!(with_holes.first_picking.map(|i| i + 1), Some(2 * whole));
    assert!(
        hole.under(&Shelter { day_gain_k: 5.0, night_gain_k: 2.0, light_share: 0.8 })
            .tmin_c
            .is_none()
    );
}

#[test]
fn each_crop_is_begun_only_as_it_can_be() {
    let begun = |name: &str, start| walk(&growing(name), start, &[day(18.0, 14.0); 300]);
    assert!(begun("radish", Start::SetOut).is_none());
    assert!(begun("garlic", Start::Sown).is_none());
    assert!(begun("asparagus", Start::Planted).is_none());
    let raised = begun("tomato", Start::Sown).expect("raised").fit_to_set_out.expect("in time");
    let from_seed = begun("tomato", Start::Sown).and_then(|p| p.first_picking).expect("in time");
    let set_out = begun("tomato", Start::SetOut).and_then(|p| p.first_picking).expect("in time");
    assert!(begun("tomato", Start::SetOut).expect("set out").fit_to_set_out.is_none());
    assert!((from_seed as i64 - (raised + set_out + 1) as i64).abs() <= 1);
}

/// Spinach bolts in heat, cabbage in spring cold once it is big enough: facts of the trade, no source.
#[test]
fn heat_and_cold_make_bolt() {
    let mild = [day(14.0, 14.0); 40];
    let hot = [day(24.0, 15.0); 5];
    let cold = [day(5.0, 12.0); 60];
    let heat =
        |days: &[Day]| walk(&growing("spinach"), Start::Sown, days).expect("sown").may_bolt_by_heat;
    assert_eq!(heat(&mild), None);
    assert_eq!(heat(&[&mild[..], &hot[..]].concat()), Some(44));
    let chill = |days: &[Day]| {
        walk(&growing("cabbage"), Start::SetOut, days).expect("set out").may_bolt_by_cold
    };
    assert_eq!(chill(&[&mild[..], &cold[..]].concat()), Some(79));
    assert_eq!(chill(&cold[..45]), None, "too young");
}

#[test]
fn fruit_sets_between_its_limits() {
    let tomato = growing("tomato");
    assert_eq!(tomato.sets_fruit(16.0, 27.0), Some(true));
    assert_eq!(tomato.sets_fruit(16.0, 36.0), Some(false));
    assert_eq!(tomato.sets_fruit(9.0, 27.0), Some(false));
    assert_eq!(growing("kale").sets_fruit(9.0, 27.0), None);
    assert!(growing("cucumber").needs_insects() && growing("strawberry").needs_insects());
    assert!(!tomato.needs_insects() && !growing("kale").needs_insects());
}

#[test]
fn what_is_carried_over_winter_has_its_limits() {
    for id in crops::all() {
        let (g, name) = (growth::crop_growth(id).expect("a row"), crops::name(id));
        match g.carry {
            Some(growth::Carry::Tops) => {
                assert!(g.winter_top_c().is_some_and(|t| t < -3.0), "{name}")
            }
            Some(growth::Carry::Roots) => {
                assert!(g.winter_root_c.is_some() && g.winter_top_c().is_none(), "{name}");
            }
            Some(growth::Carry::Both | growth::Carry::Crown) => {
                assert!(g.winter_root_c.is_some() && g.winter_top_c().is_some(), "{name}");
            }
            None => assert!(g.winter_top_c().is_none(), "{name}"),
        }
    }
}

/// Univ. of Wisconsin XHT1087: cabbage root fly 300, 1476, 2652 °F·d above 43 °F. At a steady 53 °F that is 10 a day.
#[test]
fn pests_fly_at_the_published_sums() {
    let found = pests::pests_of_crop(crop("radish"));
    let fly = found.iter().find(|p| p.name == "cabbage root fly").expect("it eats radish");
    let steady = ((43.0 - 32.0) / 1.8, (63.0 - 32.0) / 1.8);
    let days = vec![(Some(steady.0), Some(steady.1)); 300];
    let flights = fly.flights.as_ref().expect("published").days(&days);
    assert_eq!(flights, [Some(29), Some(147), Some(265)]);
    let table: toml::Table = include_str!("../src/growth/pests.toml").parse().expect("a table");
    for pest in table["pest"].as_array().expect("pests") {
        for name in pest["crops"].as_array().expect("crops") {
            crop(name.as_str().expect("a name"));
        }
        let published = pest.get("flies_f").is_some();
        assert_ne!(published, pest["source"].as_str() == Some("from memory"), "{pest}");
    }
}
