//! What is told: once, in time, and only what matters.

use diary::messages::MessageKind::{
    self, AllClear, Blind, Change, Evening, Morning, Night, NoPlan, SeesAgain, Upkeep,
};
use watch::brief::{Brief, Opens};
use watch::facts::{self, Facts, Sense};
use watch::subject::{Difference, Subject};

use crate::scene::{Scene, at, bed, facts, plan};

fn cold() -> Brief {
    let beds = vec![
        bed("salads", "heavy", true, 0.6, 0.02),
        bed("peas", "", false, 0.01, 0.01),
        bed("beans", "light", true, 0.9, 0.1),
    ];
    plan(Some("05-14T18:30"), beds)
}

fn mild() -> Brief {
    let names = ["salads", "peas", "beans"];
    plan(None, names.map(|n| bed(n, "", false, 0.0, 0.0)).to_vec())
}

/// A plan changed in one thing.
fn but(change: impl FnOnce(&mut Brief)) -> Brief {
    let mut plan = cold();
    change(&mut plan);
    plan
}

#[test]
fn the_evening_is_told_once_at_its_hour_whatever_it_brings() {
    for plan in [cold(), mild()] {
        let mut scene = Scene::default();
        let told = |scene: &mut Scene, now: &str| scene.step(&facts(now, Ok(plan.clone())));
        assert_eq!(told(&mut scene, "05-14T14:50"), []);
        assert_eq!(told(&mut scene, "05-14T15:00"), [Evening]);
        // Later looks, a clock set back over the hour, the night: nothing more.
        for now in ["05-14T15:10", "05-14T14:55", "05-14T15:00", "05-14T23:00", "05-15T04:00"] {
            assert_eq!(told(&mut scene, now), [], "{now}");
        }
        assert_eq!(scene.hands.sent.len(), 1);
    }
}

#[test]
fn work_that_must_begin_early_is_told_an_hour_before() {
    let early = but(|p| p.start_by = Some(at("05-14T13:30").0));
    let mut scene = Scene::default();
    assert_eq!(scene.step(&facts("05-14T12:20", Ok(early.clone()))), []);
    assert_eq!(scene.step(&facts("05-14T12:30", Ok(early))), [Evening]);
}

#[test]
fn an_evening_without_a_plan_is_told_and_the_plan_when_it_comes() {
    let mut scene = Scene::default();
    let none = || Err("there is no forecast".to_owned());
    assert_eq!(scene.step(&facts("05-14T15:00", none())), [NoPlan]);
    assert_eq!(scene.step(&facts("05-14T15:10", none())), []);
    assert_eq!(scene.step(&facts("05-14T17:00", Ok(cold()))), [Evening]);
    assert_eq!(scene.step(&facts("05-14T17:10", none())), []);
    // The plan of another night is none for this one.
    let mut scene = Scene::default();
    let other = but(|p| p.night = "2027-05-13".parse().expect("a date"));
    assert_eq!(scene.step(&facts("05-14T15:00", Ok(other))), [NoPlan]);
}

/// Each new plan, when it is seen, and what is told of it.
#[test]
fn only_a_difference_that_matters_is_told_and_what_clears_must_stay_clear() {
    let lay = |p: &mut Brief| p.beds[1] = bed("peas", "light", true, 0.4, 0.05);
    let leave = |p: &mut Brief| p.beds[0] = bed("salads", "", false, 0.03, 0.03);
    let done = |p: &mut Brief| {
        p.beds[0].to_do = false;
        p.beds[0].left = 0.02;
        p.start_by = Some(at("05-14T19:10").0);
    };
    type Look = (&'static str, Brief, &'static [MessageKind]);
    let rows: Vec<(&str, Vec<Look>)> = vec![
        ("another bed, at once", vec![("16:00", but(lay), &[Change]), ("16:10", but(lay), &[])]),
        ("a tick is no change", vec![("16:00", but(done), &[]), ("18:00", but(done), &[])]),
        (
            "a bed less, after an hour",
            vec![
                ("16:00", but(leave), &[]),
                ("16:50", but(leave), &[]),
                ("17:00", but(leave), &[Change]),
            ],
        ),
        (
            "not where it flickers",
            vec![
                ("16:00", but(leave), &[]),
                ("16:50", cold(), &[]),
                ("17:10", but(leave), &[]),
                ("18:00", but(leave), &[]),
            ],
        ),
        (
            "nothing after all, after an hour",
            vec![("16:00", mild(), &[]), ("17:00", mild(), &[AllClear]), ("17:30", mild(), &[])],
        ),
        (
            "and cold again at once",
            vec![
                ("16:00", mild(), &[]),
                ("17:00", mild(), &[AllClear]),
                ("17:10", cold(), &[Change]),
            ],
        ),
        (
            "fourteen minutes sooner is nothing, sixteen are told",
            vec![
                ("16:00", but(|p| p.start_by = Some(at("05-14T18:16").0)), &[]),
                ("16:10", but(|p| p.start_by = Some(at("05-14T18:14").0)), &[Change]),
            ],
        ),
        (
            "later after half an hour",
            vec![
                ("16:00", but(|p| p.start_by = Some(at("05-14T19:00").0)), &[]),
                ("16:30", but(|p| p.start_by = Some(at("05-14T19:00").0)), &[Change]),
            ],
        ),
        (
            "once the work should have begun its start tells nothing",
            vec![
                ("18:40", but(|p| p.start_by = Some(at("05-14T18:40").0)), &[]),
                ("19:20", but(|p| p.start_by = Some(at("05-14T19:20").0)), &[]),
                ("20:00", but(|p| p.start_by = Some(at("05-14T20:00").0)), &[]),
            ],
        ),
        (
            "another cover after half an hour",
            vec![
                ("16:00", but(|p| p.beds[2].ends = "heavy".into()), &[]),
                ("16:20", but(|p| p.beds[2].ends = "heavy".into()), &[]),
                ("16:30", but(|p| p.beds[2].ends = "heavy".into()), &[Change]),
            ],
        ),
        (
            "more danger at once, a little more not",
            vec![
                ("16:00", but(|p| p.beds[2].chance = 0.29), &[]),
                ("16:10", but(|p| p.beds[2].chance = 0.31), &[Change]),
            ],
        ),
    ];
    for (name, looks) in rows {
        let mut scene = Scene::default();
        assert_eq!(scene.step(&facts("05-14T15:00", Ok(cold()))), [Evening], "{name}");
        for (now, plan, expected) in looks {
            assert_eq!(
                scene.step(&facts(&format!("05-14T{now}"), Ok(plan))),
                expected,
                "{name}, {now}"
            );
        }
    }
}

#[test]
fn a_change_says_what_differs() {
    let mut scene = Scene::default();
    scene.step(&facts("05-14T15:00", Ok(cold())));
    let new = but(|p| p.beds[1] = bed("peas", "light", true, 0.4, 0.05));
    scene.step(&facts("05-14T21:30", Ok(new)));
    let Subject::Change { what, .. } = scene.last() else { panic!("{:?}", scene.last()) };
    assert_eq!(what, &[Difference::Cover("peas".into())]);
    // After sunset that cannot wait.
    assert!(scene.watcher.ledger().told().last().expect("told").message.urgent);
}

fn with_air(now: &str, plan: Brief, air_c: f64) -> Facts {
    Facts { air: Some((at(now), air_c)), ..facts(now, Ok(plan)) }
}

#[test]
fn air_colder_than_was_told_is_told_where_a_bed_is_in_danger() {
    let told = |scene: &mut Scene, now: &str, air_c: f64| {
        scene.step(&with_air(&format!("05-14T{now}"), cold(), air_c))
    };
    let mut scene = Scene::default();
    assert_eq!(told(&mut scene, "15:00", 12.0), [Evening]);
    // One night in ten is colder than 0 °C here; a thermometer is wrong by half a degree.
    assert_eq!(told(&mut scene, "22:00", -0.4), []);
    assert_eq!(told(&mut scene, "22:10", -0.6), [Night]);
    assert_eq!(told(&mut scene, "22:20", -2.5), []);
    assert_eq!(told(&mut scene, "22:30", -2.7), [Night]);
    let Subject::Colder { beds, .. } = scene.last() else { panic!("{:?}", scene.last()) };
    assert_eq!(beds, &["salads", "beans"]);
    // No bed in danger, or an old reading: nothing.
    let mut scene = Scene::default();
    scene.step(&facts("05-14T15:00", Ok(mild())));
    assert_eq!(scene.step(&with_air("05-14T22:10", mild(), -3.0)), []);
    let mut scene = Scene::default();
    scene.step(&facts("05-14T15:00", Ok(cold())));
    let old = Facts { air: Some((at("05-14T21:30"), -3.0)), ..facts("05-14T22:10", Ok(cold())) };
    assert_eq!(scene.step(&old), []);
}

#[test]
fn a_bed_near_its_limit_that_nobody_noted_as_covered_is_told_once() {
    let near = but(|p| {
        p.beds[0].reaches = Some(at("05-15T00:30").0);
        p.beds[2].reaches = Some(at("05-15T03:00").0);
    });
    let mut scene = Scene::default();
    let step = |scene: &mut Scene, now: &str| scene.step(&facts(now, Ok(near.clone())));
    assert_eq!(step(&mut scene, "05-14T15:00"), [Evening]);
    assert_eq!(step(&mut scene, "05-14T23:20"), []);
    assert_eq!(step(&mut scene, "05-14T23:30"), [Night]);
    assert_eq!(step(&mut scene, "05-15T00:10"), []);
    assert_eq!(step(&mut scene, "05-15T02:00"), [Night]);
    // A garden that notes nothing of covers is not told of what it was told to cover.
    let mut scene = Scene::default();
    let silent = |now: &str| Facts { noted: false, ..facts(now, Ok(near.clone())) };
    assert_eq!(scene.step(&silent("05-14T15:00")), [Evening]);
    assert_eq!(scene.step(&silent("05-14T23:30")), []);
}

#[test]
fn film_in_the_sun_is_told_in_time_and_louder_when_late() {
    let by = at("05-15T08:30").0;
    let opens = vec![
        Opens { bed: "salads".into(), by, heat: true },
        Opens { bed: "beans".into(), by, heat: false },
    ];
    let plan = but(|p| p.opens = opens);
    let shut = |now: &str, shut: &[&str]| Facts {
        shut: shut.iter().map(|s| (*s).to_owned()).collect(),
        ..facts(now, Ok(plan.clone()))
    };
    let mut scene = Scene::default();
    let both = ["salads", "beans"];
    assert_eq!(scene.step(&shut("05-15T07:20", &both)), []);
    assert_eq!(scene.step(&shut("05-15T07:30", &both)), [Morning]);
    assert_eq!(scene.step(&shut("05-15T08:20", &both)), []);
    assert_eq!(scene.step(&shut("05-15T08:30", &both)), [Morning]);
    assert!(matches!(scene.last(), Subject::Open { again: true, .. }));
    assert_eq!(scene.step(&shut("05-15T09:30", &both)), []);
    // Opened in time: no second one. Nothing lies: none at all.
    let mut scene = Scene::default();
    assert_eq!(scene.step(&shut("05-15T07:30", &both)), [Morning]);
    assert_eq!(scene.step(&shut("05-15T08:40", &["beans"])), []);
    assert_eq!(Scene::default().step(&shut("05-15T07:30", &[])), []);
    // Nothing is noted here: a second one where nobody has answered.
    for (answered, expected) in [(false, &[Morning][..]), (true, &[])] {
        let silent = |now: &str| Facts { noted: false, ..facts(now, Ok(plan.clone())) };
        let mut scene = Scene::default();
        assert_eq!(scene.step(&silent("05-15T07:30")), [Morning]);
        if answered {
            let id = scene.hands.kept[0].id.clone();
            scene.watcher.see(&id, at("05-15T07:40"));
        }
        assert_eq!(scene.step(&silent("05-15T08:30")), expected);
    }
}

#[test]
fn what_cannot_be_seen_is_told_when_it_stays_so_and_when_it_is_over() {
    let blind = |now: &str, is: bool| {
        let sense = Sense::Sensor("pole".into());
        let blind = is.then(|| facts::Blind { sense, why: "silent".into() });
        Facts { blind: blind.into_iter().collect(), ..facts(now, Ok(mild())) }
    };
    let mut scene = Scene::default();
    let rows: [(&str, bool, &[MessageKind]); 9] = [
        ("05-14T09:00", true, &[]),
        ("05-14T09:10", false, &[]),
        ("05-14T09:20", true, &[]),
        ("05-14T09:35", true, &[Blind]),
        ("05-14T12:00", true, &[]),
        ("05-15T09:40", true, &[Blind]),
        ("05-15T10:00", false, &[]),
        ("05-15T10:15", false, &[SeesAgain]),
        ("05-15T10:30", false, &[]),
    ];
    for (now, is, expected) in rows {
        assert_eq!(scene.step(&blind(now, is)), expected, "{now}");
    }
}

#[test]
fn blindness_in_a_close_night_cannot_wait() {
    let blind = || facts::Blind { sense: Sense::Sensor("pole".into()), why: "silent".into() };
    for (chance, now, urgent) in
        [(0.02, "22:30", true), (0.01, "22:30", false), (0.02, "17:30", false)]
    {
        let plan = but(|p| p.beds.iter_mut().for_each(|b| b.chance = chance));
        let mut scene = Scene::default();
        scene.step(&facts("05-14T15:00", Ok(plan.clone())));
        let at = |now: &str| Facts {
            blind: vec![blind()],
            ..facts(&format!("05-14T{now}"), Ok(plan.clone()))
        };
        let before = now.replace(":30", ":10");
        assert_eq!(scene.step(&at(&before)), [], "{now}");
        assert_eq!(scene.step(&at(now)), [Blind], "{now}");
        let told = scene.watcher.ledger().told().last().expect("told");
        assert_eq!(told.message.urgent, urgent, "{chance} {now}");
    }
}

#[test]
fn one_look_a_day_but_for_danger() {
    let look = |name: &str, danger: bool| facts::Upkeep {
        name: name.into(),
        words: format!("look at {name}"),
        danger,
        threats: if name == "snow" { vec!["snow beans".into()] } else { Vec::new() },
    };
    let with = |now: &str, upkeep: &[facts::Upkeep]| Facts {
        upkeep: upkeep.to_vec(),
        ..facts(now, Ok(mild()))
    };
    let mut scene = Scene::default();
    let calm = [look("voles", false), look("mice", false)];
    assert_eq!(scene.step(&with("05-14T15:00", &calm)), [Evening, Upkeep]);
    assert_eq!(scene.step(&with("05-14T15:10", &calm)), []);
    let snow = [look("snow", true), look("mice", false)];
    assert_eq!(scene.step(&with("05-14T16:00", &snow)), [Upkeep]);
    assert_eq!(scene.step(&with("05-14T16:10", &snow)), []);
    // A plan that knew of it has told it.
    let knew = Brief { threats: vec!["snow beans".into()], ..mild() };
    let mut scene = Scene::default();
    let told = Facts { upkeep: snow.to_vec(), ..facts("05-14T15:00", Ok(knew)) };
    assert_eq!(scene.step(&told), [Evening, Upkeep]);
    let Subject::Upkeep { upkeep } = scene.last() else { panic!("{:?}", scene.last()) };
    assert_eq!(upkeep.name, "mice");
}

#[test]
fn a_day_has_room_for_so_many_and_the_evening_always_fits() {
    let mut scene = Scene::default();
    scene.watch.most_a_day = 2;
    let blind = |n: u32| facts::Blind { sense: Sense::Sensor(n.to_string()), why: "silent".into() };
    let many: Vec<_> = (0..5).map(blind).collect();
    let with = |now: &str| Facts { blind: many.clone(), ..facts(now, Ok(cold())) };
    assert_eq!(scene.step(&with("05-14T09:00")), []);
    assert_eq!(scene.step(&with("05-14T09:20")), [Blind, Blind]);
    assert_eq!(scene.step(&with("05-14T15:00")), [Evening]);
    let lay = but(|p| p.beds[1] = bed("peas", "light", true, 0.4, 0.05));
    let after = |now: &str| Facts { blind: many.clone(), ..facts(now, Ok(lay.clone())) };
    assert_eq!(scene.step(&after("05-14T21:00")), []);
    // Danger to plants passes where the grower said so.
    scene.watch.wake = true;
    assert_eq!(scene.step(&Facts { blind: Vec::new(), ..after("05-14T21:10") }), [Change]);
}
