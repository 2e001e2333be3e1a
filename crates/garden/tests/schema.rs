//! The table of the garden file: sound in itself, read as it says, and told as it is.

use garden::file;
use garden::schema::words::Worded as _;
use garden::schema::{Given, Key, Only, Takes, reference, tables};
use garden::{crops, template};
use quantities::UnitSystem;

const SYSTEMS: [UnitSystem; 2] = [UnitSystem::Us, UnitSystem::Metric];

fn keys() -> impl Iterator<Item = (&'static str, &'static Key)> {
    tables::ALL.into_iter().flat_map(|t| t.keys.iter().map(move |k| (t.path, k)))
}

#[test]
fn every_example_is_what_its_key_takes() {
    for (path, key) in keys() {
        let name = format!("{path}.{}", key.name);
        assert!(key.help.ends_with('.') && key.help.len() > 5, "{name}");
        for (units, example) in SYSTEMS.into_iter().zip(key.example) {
            let text = example.trim_matches('"');
            match key.takes {
                Takes::Table(_) | Takes::Tables(_) => assert!(example.is_empty(), "{name}"),
                Takes::Number(_) | Takes::Numbers(_) | Takes::Pair(_) => {
                    let (least, most) = key.range(units).expect("a range");
                    let numbers = example.trim_matches(['[', ']']).split(',');
                    for x in numbers.map(|x| x.trim().parse::<f64>().expect("a number")) {
                        assert!((least..=most).contains(&x), "{name}: {x}");
                    }
                }
                Takes::Word(choices) => {
                    assert!(choices.iter().any(|c| c.word == text), "{name}: {example}");
                }
                Takes::Crop => assert!(crops::find(text).is_some(), "{name}"),
                Takes::Flag => assert!(text == "true" || text == "false", "{name}"),
                Takes::Text | Takes::Stage | Takes::Sheet | Takes::Day => {
                    assert!(example.starts_with('"') && !text.is_empty(), "{name}");
                }
            }
        }
    }
}

#[test]
fn what_decides_about_a_key_stands_in_its_table() {
    let mut seen = 0;
    for table in tables::ALL {
        for key in table.keys {
            let beside = |name: &str| table.keys.iter().find(|k| k.name == name);
            match key.only {
                Only::Always => continue,
                Only::Without(other) => assert!(beside(other).is_some(), "{}", key.name),
                Only::With(other, words) => {
                    let choices = beside(other).expect("the key that decides").choices();
                    assert!(
                        words.iter().all(|w| choices.iter().any(|c| c.word == *w)),
                        "{words:?}"
                    );
                }
            }
            seen += 1;
        }
    }
    assert!(seen > 10, "{seen}");
}

#[test]
fn every_table_is_listed_once_where_it_hangs() {
    let mut hung: Vec<&str> = vec![""];
    for (path, key) in keys() {
        if let Takes::Table(t) | Takes::Tables(t) = key.takes {
            let dot = if path.is_empty() { "" } else { "." };
            assert_eq!(t.path, format!("{path}{dot}{}", key.name));
            hung.push(t.path);
        }
    }
    let mut listed = tables::ALL.map(|t| t.path).to_vec();
    hung.sort_unstable();
    listed.sort_unstable();
    assert_eq!(hung, listed);
}

/// Takes every line of a whole garden out in turn: the reader asks for what the table says is needed, and for nothing else.
#[test]
fn what_is_needed_is_asked_for() {
    let whole = template::example(UnitSystem::Metric);
    let needed = keys().filter(|(_, k)| k.always_needed() && !k.example[1].is_empty());
    let mut asked = 0;
    for (path, key) in needed {
        let mut here = "";
        let line = format!("{} = ", key.full(UnitSystem::Metric));
        let without: Vec<&str> = whole
            .lines()
            .filter(|l| {
                if l.starts_with('[') {
                    here = l.trim_matches(['[', ']']);
                }
                here != path || !l.starts_with(&line)
            })
            .collect();
        assert_eq!(without.len() + 1, whole.lines().count(), "{path} {line}");
        let faults = file::read(&without.join("\n")).faults;
        let told = format!("has no {}", key.full(UnitSystem::Metric));
        assert!(faults.iter().any(|f| f.message.ends_with(&told)), "{path} {told}: {faults:?}");
        asked += 1;
    }
    assert!(asked > 30, "{asked}");
}

#[test]
fn the_whole_example_reads_back() {
    for units in SYSTEMS {
        let text = template::example(units);
        let reading = file::read(&text);
        assert!(reading.faults.is_empty(), "{:?}\n{text}", reading.faults);
        let garden = reading.garden.expect("it reads");
        assert_eq!(garden.units, units);
        let bed = &garden.beds[0];
        assert!(bed.hoops.is_some_and(|h| h.purlin) && bed.on_now.is_some_and(|o| o.left_on));
        assert_eq!(
            (bed.needs.len(), garden.supply.rods.len(), garden.stock.pulls_n.len()),
            (1, 1, 3)
        );
        assert!(bed.mulch.is_some_and(|m| (m.depth_m - 0.05).abs() < 0.001));
    }
}

#[test]
fn what_may_be_left_out_is_left_out_without_a_fault() {
    let whole = template::example(UnitSystem::Us);
    for (path, key) in
        keys().filter(|(_, k)| matches!((k.given, k.only), (Given::Else(_), Only::Always)))
    {
        let line = format!("{} = ", key.full(UnitSystem::Us));
        let without: Vec<&str> = whole.lines().filter(|l| !l.starts_with(&line)).collect();
        let faults = file::read(&without.join("\n")).faults;
        assert!(faults.is_empty(), "{path} {line}: {faults:?}");
    }
}

#[test]
fn a_key_that_does_not_go_with_its_neighbours_is_told() {
    let whole = template::example(UnitSystem::Metric);
    let told = |from: &str, to: &str| -> Vec<(String, String)> {
        let faults = file::read(&whole.replacen(from, to, 1)).faults;
        faults.into_iter().map(|f| (f.message, f.expected)).collect()
    };
    let net =
        told("kind = \"row cover\"\nweight_g_m2 = 30", "kind = \"insect net\"\nweight_g_m2 = 30");
    assert_eq!(
        net,
        [("sheet takes no weight_g_m2 here".into(), "it only where kind is row cover".into())]
    );
    let both = told("diameter_mm = 3.4", "diameter_mm = 3.4\nwire_gauge = 10");
    assert_eq!(
        both,
        [("hoops takes no diameter_mm here".into(), "either it or wire_gauge, not both".into())]
    );
    // Where the kind is misspelt, nothing is said of the weight beside it.
    let misspelt =
        told("kind = \"row cover\"\nweight_g_m2 = 30", "kind = \"row covr\"\nweight_g_m2 = 30");
    assert!(misspelt.iter().any(|m| m.0.contains("“row covr”")), "{misspelt:?}");
    assert!(!misspelt.iter().any(|m| m.0.contains("weight")), "{misspelt:?}");
}

#[test]
fn words_and_what_they_stand_for_come_back() {
    for units in SYSTEMS {
        assert_eq!(UnitSystem::from_word(&units.word().to_uppercase()), Some(units));
    }
    for material in structure::Material::VALUES {
        assert_eq!(structure::Material::from_word(material.word()), Some(*material));
    }
    assert_eq!(UnitSystem::from_word("furlongs"), None);
}

#[test]
fn the_reference_page_is_as_the_table_says() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/garden.md");
    let there = std::fs::read_to_string(path).unwrap_or_default();
    let renew = "renew it: cargo run -p garden --example garden_reference > docs/garden.md";
    assert!(there == reference::page(), "docs/garden.md is not what the table says; {renew}");
}
