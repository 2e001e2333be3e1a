//! What the garden's thermometer teaches, from notes to the evening's plan.

use super::Garden;
use super::skill::{import, next, plan_of, reading};
use crate::harness::Ask;

/// Nights of April 2027, read 3 K under a forecast of 1 °C, give or take 0.5; the last as if °F had been noted as °C.
fn taught(slip: bool) -> Garden {
    let garden = Garden::new("jura");
    let (mut notes, mut plans) = (String::new(), String::new());
    for k in 1..=12_u32 {
        let night = format!("2027-04-{k:02}");
        let read = match k {
            12 if slip => 28.4,
            _ => -2.0 + if k.is_multiple_of(2) { 0.5 } else { -0.5 },
        };
        notes += &reading(&format!("{}T05:00:00Z", next(&night)), ",open,", read);
        plans += &plan_of(k, &night, 1.0);
    }
    import(&garden, &notes, &plans, "");
    garden
}

fn learn(garden: &Garden, words: &[&str]) -> serde_json::Value {
    let folder = garden.file("");
    let mut args = vec!["learn", folder.as_str(), "--json"];
    args.extend(words);
    crate::schema::valid("learn", &Ask::new(&args).clock("2027-04-14T12:00").run())
}

#[test]
fn twelve_nights_teach_and_a_slip_is_asked_about() {
    let sound = learn(&taught(false), &[]);
    let lesson = &sound["lesson"];
    // Clearness of those nights: (1 − 0.1)/(1 + 0.5²) = 0.72.
    let like_those = |lesson: &serde_json::Value| {
        let of = |name: &str| lesson[name].as_f64().expect("a number");
        of("cloudy_k") + 0.72 * (of("clear_calm_k") - of("cloudy_k"))
    };
    let learned = like_those(lesson);
    assert!((-3.2..-2.4).contains(&learned), "{lesson}");
    assert!(lesson["rmse_k"].as_f64() < lesson["rmse_before_k"].as_f64(), "{lesson}");
    assert!(lesson["error_k"].as_f64() < lesson["error_before_k"].as_f64(), "{lesson}");
    let slipped = learn(&taught(true), &[]);
    assert_eq!(slipped["nights"][11]["unlikely"], true);
    let moved = like_those(&slipped["lesson"]) - learned;
    assert!(moved.abs() < 0.5, "{moved}");
}

#[test]
fn learning_can_be_stopped_and_forgotten() {
    let garden = taught(false);
    let frozen = learn(&garden, &["--freeze"]);
    assert!(frozen["frozen_since"].is_string() && frozen["lesson"].is_object());
    assert!(learn(&garden, &["--go-on"])["frozen_since"].is_null());
    let forgotten = learn(&garden, &["--forget"]);
    assert!(forgotten["lesson"].is_null() && forgotten["nights"] == serde_json::json!([]));
    // The notes are all there.
    assert_eq!(garden.list().len(), 12);
}

/// `note reading --now` after dark is heard by `tonight`.
#[test]
fn the_air_read_after_dark_moves_the_plan() {
    let garden = Garden::new("wisconsin");
    let folder = garden.file("");
    let low = |at: &str| {
        let run = Ask::new(&["tonight", &folder, "--json"]).clock(at).run();
        let answer = crate::schema::valid("tonight", &run);
        answer["weather"]["garden_low_c"]["p50"].as_f64().expect("a number")
    };
    let before = low("2027-05-14T22:00");
    let run = garden.note(&["reading", "--now", "25F", "--at", "2027-05-14T21:50"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let after = low("2027-05-14T22:00");
    assert!(after < before - 0.5, "{before} {after}");
}
