//! The crop table against the published tables, and its own order.

use garden::crops::{self, CropId, Stage};

fn crop(name: &str) -> CropId {
    crops::find(name).unwrap_or_else(|| panic!("no {name}"))
}

fn fahrenheit(name: &str, stage: &str) -> (f64, f64) {
    let id = crop(name);
    let stage = crops::find_stage(id, stage).unwrap_or_else(|| panic!("{name} has no {stage}"));
    let l = crops::cold_limits(id, stage, false).expect("limits");
    (l.t10_c * 1.8 + 32.0, l.t90_c * 1.8 + 32.0)
}

#[test]
fn there_are_at_least_forty_and_each_number_has_its_source() {
    assert!(crops::all().count() >= 40);
    let document = include_str!("../../../docs/crops.md");
    for id in crops::all() {
        assert!(document.contains(crops::name(id)), "{} is not in docs/crops.md", crops::name(id));
        assert!(!crops::stages(id).is_empty());
        for (word, stage) in crops::stages(id) {
            let l = crops::cold_limits(id, stage, true).expect("limits");
            assert!(l.source.len() > 5, "{} {word}", crops::name(id));
            assert_eq!(crops::find_stage(id, word), Some(stage));
        }
    }
}

/// WSU EB0419 (Proebsting & Mills 1978): T10/T90 in °F at 30 minutes.
#[test]
fn the_published_blossom_table_is_reproduced() {
    for (name, stage, t10, t90) in [
        ("apple", "silver tip", 15.0, 2.0),
        ("apple", "tight cluster", 27.0, 21.0),
        ("apple", "full bloom", 28.0, 25.0),
        ("peach", "first swelling", 18.0, 1.0),
        ("peach", "first pink", 25.0, 15.0),
        ("peach", "full bloom", 27.0, 24.0),
        ("pear", "scales separating", 15.0, 0.0),
        ("pear", "first bloom", 27.0, 23.0),
        ("sweet cherry", "green tip", 25.0, 14.0),
        ("cherry", "post bloom", 28.0, 25.0),
        ("apricot", "full bloom", 27.0, 22.0),
    ] {
        let (a, b) = fahrenheit(name, stage);
        assert!((a - t10).abs() < 0.01 && (b - t90).abs() < 0.01, "{name} {stage} {a} {b}");
    }
}

/// Univ. Delaware Weekly Crop Update: dormant 10, tight bud 22, popcorn 26, open blossom 30, green fruit 28 °F.
#[test]
fn strawberry_blossom_temperatures_are_the_published_ones() {
    for (stage, t10) in [
        ("dormant", 10.0),
        ("tight bud", 22.0),
        ("popcorn", 26.0),
        ("open bloom", 30.0),
        ("green fruit", 28.0),
    ] {
        assert!((fahrenheit("strawberry", stage).0 - t10).abs() < 0.01, "{stage}");
    }
}

/// PMC10202904 table 2: the band from T10 to T90 of the established crop meets the class's damaging range.
#[test]
fn established_crops_meet_their_published_class() {
    for (name, low, high) in [
        ("tomato", 0.0, -5.0),
        ("cucumber", 0.0, -5.0),
        ("potato", 0.0, -2.0),
        ("snap bean", 0.0, -2.0),
        ("sweet corn", 0.0, -2.0),
        ("pea", -2.0, -4.0),
        ("lettuce", -2.0, -4.0),
        ("asparagus", -2.0, -4.0),
        ("kale", -4.0, -7.0),
        ("cabbage", -4.0, -7.0),
        ("beet", -4.0, -7.0),
        ("onion", -4.0, -7.0),
        ("carrot", -4.0, -7.0),
        ("parsnip", -4.0, -7.0),
        ("spinach", -7.0, -10.0),
        ("savoy cabbage", -7.0, -10.0),
    ] {
        let l = crops::cold_limits(crop(name), Stage::Established, false).expect("limits");
        assert!(l.t10_c >= high && l.t90_c <= low, "{name}: {} to {} °C", l.t10_c, l.t90_c);
    }
}

#[test]
fn limits_keep_their_order() {
    for id in crops::all() {
        for (word, stage) in crops::stages(id) {
            let name = crops::name(id);
            let tender = crops::cold_limits(id, stage, false).expect("limits");
            let hard = crops::cold_limits(id, stage, true).expect("limits");
            assert!(tender.t90_c < tender.t10_c, "{name} {word}");
            assert!(hard.t90_c < hard.t10_c, "{name} {word}");
            assert!(hard.t10_c <= tender.t10_c && hard.t90_c <= tender.t90_c, "{name} {word}");
        }
    }
}

/// Common practice, no source: hardy direct-sown greens stand 28 °F, transplants set out soft do not; lettuce
/// seedlings are low enough for a mulch.
#[test]
fn the_trade_facts_of_frost_hold() {
    for name in ["kale", "spinach", "collard"] {
        let l = crops::cold_limits(crop(name), Stage::Established, true).expect("limits");
        assert!(l.t10_c < -6.0, "{name}");
    }
    for name in ["broccoli", "cabbage", "cauliflower"] {
        let l = crops::cold_limits(crop(name), Stage::Transplant, false).expect("limits");
        assert!(l.t10_c > -3.0, "{name}");
    }
    assert!(crops::mulch_may_do(crop("lettuce"), Stage::Seedling));
}

#[test]
fn names_forgive_case_plural_and_hyphens() {
    for word in [
        "Strawberries",
        "BROCCOLI",
        "Swiss-chard",
        "zucchini",
        "peas",
        "tomatoes ",
        "brussels sprouts",
    ] {
        assert!(crops::find(word).is_some(), "{word}");
    }
    assert!(crops::find("unobtainium").is_none());
}

/// One crop under its words in America, Britain, Australia and the trade (common practice, no source).
#[test]
fn crops_are_known_by_their_words_in_every_region() {
    for words in [
        &["pepper", "sweet pepper", "bell pepper", "capsicum", "chilli", "paprika"][..],
        &["chard", "Swiss chard", "silverbeet"],
        &["spring onion", "scallion", "green onion", "bunching onion"],
        &["summer squash", "zucchini", "courgette"],
        &["eggplant", "aubergine"],
        &["rutabaga", "swede"],
        &["arugula", "rocket"],
        &["snap bean", "French bean", "green bean"],
        &["pea", "mangetout", "snow pea"],
        &["sweet potato", "kumara"],
        &["currant", "blackcurrant", "redcurrant"],
        &["plum", "damson"],
        &["citrus", "lemon", "satsuma"],
        &["beet", "beetroot"],
    ] {
        let all: Vec<CropId> = words.iter().map(|w| crop(w)).collect();
        assert!(all.windows(2).all(|w| w[0] == w[1]), "{words:?}");
    }
    for name in [
        "gooseberry",
        "blueberry",
        "raspberry",
        "parsley",
        "celery",
        "celeriac",
        "runner bean",
        "lima bean",
        "shallot",
        "artichoke",
        "sour cherry",
        "pak choi",
        "Chinese cabbage",
        "fennel",
        "chives",
    ] {
        assert_eq!(crops::name(crop(name)), name);
    }
}

#[test]
fn no_word_names_two_crops() {
    for id in crops::all() {
        assert_eq!(crops::find(crops::name(id)), Some(id), "{}", crops::name(id));
    }
    let names = crops::names();
    for (i, word) in names.iter().enumerate() {
        assert!(
            !names[..i]
                .iter()
                .any(|w| w != word && crops::same(w, word) && crops::find(w) != crops::find(word))
        );
    }
}

/// The one published damaging range of their species, Beta vulgaris, is −4 to −7 °C (PMC10202904 table 2): chard had −2.5 °C.
#[test]
fn chard_stands_what_beet_does() {
    for hardened in [false, true] {
        let of =
            |name| crops::cold_limits(crop(name), Stage::Established, hardened).expect("limits");
        assert_eq!(of("chard"), of("beet"));
    }
}

/// Common practice, no source: what stands in the bed has met the weather, however it was raised.
#[test]
fn only_the_young_are_soft() {
    let whole = garden::template::example(quantities::UnitSystem::Metric);
    for (start, stage, hardened) in [
        ("transplant", "established", true),
        ("transplant", "mature", true),
        ("transplant", "transplant", false),
        ("direct-sown", "seedling", true),
        ("transplant", "seedling", false),
    ] {
        let text: String = whole
            .lines()
            .filter(|l| !l.starts_with("hardened"))
            .map(|l| match l.split(" = ").next() {
                Some("start") => format!("start = \"{start}\"\n"),
                Some("stage") => format!("stage = \"{stage}\"\n"),
                _ => format!("{l}\n"),
            })
            .collect();
        let garden = garden::file::read(&text).garden.expect("reads");
        assert_eq!(garden.beds[0].plantings[0].hardened, hardened, "{start} {stage}");
    }
}

#[test]
fn the_reference_page_is_as_the_table_says() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/crops.md");
    let there = std::fs::read_to_string(path).unwrap_or_default();
    let renew = "renew it: cargo run -p garden --example crops_reference > docs/crops.md";
    assert!(there == crops::reference::page(), "docs/crops.md is not what the table says; {renew}");
}
