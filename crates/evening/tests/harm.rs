//! The damage curve against its worked example; hardening, time and chill against published plants and their laws.

use evening::harm::{
    Cold, HalfHour, LongSpell, Memory, PlantingAtRisk, chill_after, share_chilled, share_lost,
    steepness,
};
use garden::crops::{self, ColdLimits};
use garden::planting::{Planting, Start};
use proptest::prelude::*;

fn limits(t10_f: f64, t90_f: f64) -> ColdLimits {
    let c = |f: f64| (f - 32.0) / 1.8;
    ColdLimits { t10_c: c(t10_f), t90_c: c(t90_f), source: "test" }
}

/// Logistic through T10 and T90 (WSU apple full bloom, 28/25 °F): T50 −3.06 °C, k 2.637 per K (computed).
#[test]
fn the_worked_logistic_example_is_met() {
    let apple = limits(28.0, 25.0);
    assert!((steepness(&apple) - 2.637).abs() < 1e-3);
    assert!((share_lost(&apple, -3.0556) - 0.5).abs() < 1e-3);
    assert!((share_lost(&apple, apple.t10_c) - 0.1).abs() < 1e-9);
    assert!((share_lost(&apple, apple.t90_c) - 0.9).abs() < 1e-9);
}

#[test]
fn a_half_hour_is_three_steps() {
    let mut h = HalfHour::<f64>::new();
    for t in [1.0, -5.0, 1.0, 1.0] {
        h.push(t);
    }
    assert!((h.coldest + 1.0).abs() < 1e-12);
}

fn at_risk(crop: &str, stage: &str, hardness: f64) -> PlantingAtRisk {
    PlantingAtRisk::at(0, &planting(crop, stage, false), hardness).expect("cold can harm it")
}

fn planting(crop: &str, stage: &str, hardened: bool) -> Planting {
    let crop = crops::find(crop).expect("a crop");
    let stage = crops::find_stage(crop, stage).expect("a stage");
    let start = Start::Transplant;
    Planting { crop, start, stage, hardened, worth: 100.0, height_m: 0.3, ground_cover: 0.5 }
}

fn cold(half_hour_c: f64, long_c: f64, chill_k_h: f64) -> Cold {
    Cold { half_hour_c, long_c, chill_k_h }
}

/// Canola leaves not, partly and fully acclimated (LT50 −3, −7, −19 °C, so a = 0, ¼, 1) took 28, 42 and 80 minutes to freezing
/// equilibrium at −4.6 °C (PMC519078, table I). A dip that reaches −10 °C for a moment and warms evenly by 1 K in ten minutes has
/// its mean over n minutes n/20 K above: the time that counts is read back from it.
#[test]
fn hardened_leaves_take_longer_to_freeze() {
    let dip = |minutes: f64| -10.0 + minutes / 20.0;
    for (hardness, published_min) in [(0.0, 28.0), (0.25, 42.0), (1.0, 80.0)] {
        let froze =
            at_risk("kale", "established", hardness).frozen_c(&cold(dip(30.0), dip(80.0), 0.0));
        let minutes = (froze + 10.0) * 20.0;
        assert!((minutes - published_min).abs() <= 2.0, "{hardness}: {minutes} min");
    }
    let apple = at_risk("apple", "full bloom", 1.0).frozen_c(&cold(-3.0, -1.0, 0.0));
    assert!((apple + 3.0).abs() < 1e-9, "bloom by the published 30 minutes");
    let mut long = LongSpell::<f64>::new();
    for t in [0.0, -8.0, -8.0, -8.0, 0.0, 0.0, 0.0, 0.0, 8.0] {
        long.push(t);
    }
    assert!((long.coldest + 3.0).abs() < 1e-12, "eight steps: {}", long.coldest);
}

/// Wright & Simon 1973 and Minchin & Simon 1973 (abstracts): cucumber leaves live through a week at 10 °C, show loss after three
/// days at 8 °C, and recover from a day or two at 5 °C if warm again.
#[test]
fn chill_meets_its_published_doses() {
    let dose =
        crops::chill_dose_k_h(crops::find("cucumber").expect("a crop")).expect("chill harms it");
    let share = |air_c: f64, hours: f64| share_chilled(dose, chill_after(0.0, air_c, hours));
    assert!((0.05..0.2).contains(&share(8.0, 72.0)), "{}", share(8.0, 72.0));
    assert!(share(10.0, 168.0) < 0.25, "{}", share(10.0, 168.0));
    assert!(share(5.0, 24.0) < 0.05, "{}", share(5.0, 24.0));
    assert!((share_chilled([60.0, 300.0], 60.0) - 0.1).abs() < 1e-12);
    assert!((share_chilled([60.0, 300.0], 300.0) - 0.9).abs() < 1e-12);
    let day_later = chill_after(100.0, 20.0, 24.0);
    assert!((day_later - 100.0 / std::f64::consts::E).abs() < 1e-9);
}

/// Common practice, no source: basil blackens in a night of 40 °F; cucumbers and beans take one and suffer from a week of them.
#[test]
fn chill_takes_basil_without_frost() {
    let night_k_h = 10.0 * (12.0 - 5.0);
    let one = |crop: &str, before_k_h: f64| {
        let planting =
            PlantingAtRisk { chilled_k_h: before_k_h, ..at_risk(crop, "established", 0.0) };
        planting.share(&cold(4.0, 4.5, night_k_h))
    };
    assert!(PlantingAtRisk::harms(one("basil", 0.0)), "{}", one("basil", 0.0));
    for crop in ["cucumber", "snap bean"] {
        assert!((1e-6..0.05).contains(&one(crop, 0.0)), "{crop} {}", one(crop, 0.0));
        assert!(one(crop, 5.0 * night_k_h) > 0.1, "{crop} {}", one(crop, 5.0 * night_k_h));
    }
    assert!(one("kale", 500.0) < 0.01, "no chill harms it: {}", one("kale", 500.0));
}

#[test]
fn there_is_no_frost_above_freezing() {
    for id in crops::all() {
        for (stage, _) in crops::stages(id) {
            let planting = at_risk(crops::name(id), stage, 0.0);
            assert!(planting.share(&cold(0.01, 0.01, 0.0)) < 1e-12, "{} {stage}", crops::name(id));
            let limit = planting.limits.t10_c;
            assert!(
                PlantingAtRisk::harms(planting.share(&cold(limit, limit, 0.0))),
                "{} {stage}",
                crops::name(id)
            );
        }
    }
}

/// Where nothing is known of the days before, the grower's word stands; a cold fortnight hardens, a warm one undoes it.
#[test]
fn the_days_before_tell_how_hard_plants_are() {
    let kale = planting("kale", "established", true);
    let after = |days_c: &[f64]| {
        let memory = Memory { days_c: days_c.to_vec(), chill_k_h: 0.0 };
        PlantingAtRisk::new(0, &kale).expect("cold can harm it").after(&kale, &memory).limits
    };
    let said = crops::cold_limits(kale.crop, kale.stage, true).expect("limits");
    assert_eq!(after(&[]), said);
    assert!(after(&[2.0; 14]).t10_c < said.t10_c - 1.0);
    assert!(after(&[18.0; 14]).t10_c > said.t10_c + 2.0);
    let tomato = planting("tomato", "established", true);
    let memory = Memory { days_c: vec![2.0; 14], chill_k_h: 0.0 };
    let before = PlantingAtRisk::new(0, &tomato).expect("cold can harm it");
    assert_eq!(before.after(&tomato, &memory).limits, before.limits, "it does not harden");
}

proptest! {
    #[test]
    fn colder_longer_and_more_chilled_is_never_better(
        pick in 0_usize..1000, t in -25.0_f64..12.0, warmer in 0.0_f64..8.0, dose in 0.0_f64..600.0,
        k in 0.0_f64..5.0, more in 0.0_f64..100.0, hardness in 0.0_f64..=1.0,
    ) {
        let id = crops::all().nth(pick % crops::all().count()).expect("a crop");
        for (stage, _) in crops::stages(id) {
            let planting = at_risk(crops::name(id), stage, hardness);
            let share = planting.share(&cold(t, t + warmer, dose));
            prop_assert!((0.0..=1.0).contains(&share));
            prop_assert!(planting.share(&cold(t - k, t + warmer - k, dose)) >= share - 1e-12);
            prop_assert!(planting.share(&cold(t, t + warmer * 0.5, dose)) >= share - 1e-12);
            prop_assert!(planting.share(&cold(t, t + warmer, dose + more)) >= share - 1e-12);
        }
    }
}
