//! A grower's own crops in the garden file.

use garden::crops::{self, Stage, limits_at};
use garden::file::{Reading, read};
use garden::{growth, template};
use quantities::UnitSystem;

fn with(crop: &str, planted: &str) -> Reading {
    let text = template::example(UnitSystem::Metric);
    let from = text.find("[[crop]]").expect("an own crop");
    let to = from + text[from..].find("\n\n").expect("an end");
    let text = format!("{}{crop}{}", &text[..from], &text[to..]);
    let planting = format!("crop = \"{planted}\"");
    read(&text.replacen("crop = \"lettuce\"", &planting, 1))
}

/// Kale loses a tenth at −5 °C and nine tenths at −9 °C, not hardened: 2 K and 3 K colder than that move every age.
#[test]
fn own_limits_move_every_age() {
    let reading = with(
        "[[crop]]\nname = \"Cold Kale\"\nlike = \"kale\"\ntenth_lost_c = -7\nmost_lost_c = -12\nheat_limit_c = 31\n",
        "cold-kales",
    );
    assert!(reading.faults.is_empty(), "{:?}", reading.faults);
    let garden = reading.garden.expect("reads");
    let own = garden.beds[0].plantings[0].crop;
    assert_eq!((garden.crops.as_slice(), crops::name(own)), ([own].as_slice(), "Cold Kale"));
    let kale = crops::find("kale").expect("kale");
    for stage in
        [Stage::SeedBed, Stage::Seedling, Stage::Transplant, Stage::Established, Stage::Mature]
    {
        for hardness in [0.0, 0.5, 1.0] {
            let of = |id| limits_at(id, stage, hardness).expect("limits");
            assert!((of(own).t10_c - of(kale).t10_c + 2.0).abs() < 1e-9, "{stage:?} {hardness}");
            assert!((of(own).t90_c - of(kale).t90_c + 3.0).abs() < 1e-9, "{stage:?} {hardness}");
        }
    }
    let source = limits_at(own, Stage::Established, 0.0).expect("limits").source;
    assert!(source.contains("grower's own"), "{source}");
    assert!((crops::heat_limit_c(own) - 31.0).abs() < 1e-9);
    let (mine, theirs) = (growth::crop_growth(own), growth::crop_growth(kale));
    assert_eq!(mine.and_then(|g| g.days), theirs.and_then(|g| g.days), "grows like kale");
    assert_eq!(growth::pests::pests_of_crop(own), growth::pests::pests_of_crop(kale));
    assert_eq!(crops::find("Cold Kale"), None, "only its own garden knows it");
}

#[test]
fn the_same_crop_read_again_is_the_same() {
    let one =
        || with("[[crop]]\nname = \"mine\"\nlike = \"basil\"\n", "mine").garden.expect("reads");
    assert_eq!(one(), one());
    let basil = crops::find("basil").expect("basil");
    let mine = one().crops[0];
    assert_ne!(mine, basil);
    assert_eq!(
        crops::cold_limits(mine, Stage::Mature, false),
        crops::cold_limits(basil, Stage::Mature, false)
    );
}

#[test]
fn fahrenheit_is_read_from_its_own_zero() {
    let text = template::example(UnitSystem::Us);
    let garden = read(&text).garden.expect("reads");
    let own = limits_at(garden.crops[0], Stage::Established, 0.0).expect("limits");
    assert!((own.t10_c - (20.0 - 32.0) / 1.8).abs() < 1e-9, "20 °F: {}", own.t10_c);
    assert!((own.t90_c - (10.0 - 32.0) / 1.8).abs() < 1e-9, "10 °F: {}", own.t90_c);
}

#[test]
fn each_mistake_is_told_once() {
    let told = |crop: &str, planted: &str| -> Vec<String> {
        with(crop, planted).faults.into_iter().map(|f| f.message).collect()
    };
    for (crop, planted, message) in [
        (
            "[[crop]]\nname = \"Kale\"\nlike = \"kale\"\n",
            "kale",
            "there is a crop called “Kale” already",
        ),
        ("[[crop]]\nname = \"x\"\nlike = \"kael\"\n", "x", "“kael” is no crop that is known here"),
        (
            "[[crop]]\nname = \"x\"\nlike = \"kale\"\ntenth_lost_c = -10\n",
            "x",
            "“x” would lose nine tenths before it loses a tenth",
        ),
        ("[[crop]]\nname = \"x\"\nlike = \"kale\"\n", "y", "“y” is no crop that is known here"),
        (
            "[[crop]]\nname = \"x\"\nlike = \"kale\"\ntenth_lost_c = -60\n",
            "x",
            "tenth_lost_c is -60",
        ),
    ] {
        assert_eq!(told(crop, planted), [message], "{crop}");
    }
}
