//! Garden files with mistakes: each fault at its place, all at once, never a panic.

use std::path::Path;

use garden::file;
use proptest::prelude::*;

/// File, then every fault as line:column and a part of its words.
const CASES: [(&str, &[(&str, &str)]); 11] = [
    ("broken_toml.toml", &[("2:9", "string values must be quoted"), ("3:7", "unclosed table")]),
    (
        "empty.toml",
        &[
            ("1:1", "no labour"),
            ("1:1", "no name"),
            ("1:1", "no place"),
            ("1:1", "no site"),
            ("1:1", "no stock"),
            ("1:1", "no units"),
            ("1:1", "the garden has no beds"),
        ],
    ),
    ("misspelt_crop.toml", &[("24:8", "“brocoli” is no crop")]),
    ("misspelt_stage.toml", &[("26:9", "“open blom” is no stage of strawberry")]),
    (
        "wrong_units.toml",
        &[("19:12", "length_m is not in the units"), ("20:12", "width_cm is not in the units")],
    ),
    // The key that is missing is the one that is misspelt: one fault.
    ("unknown_key.toml", &[("21:1", "bed has no key “wetnes”")]),
    ("out_of_range.toml", &[("5:12", "latitude is 143.6"), ("37:9", "count is -2")]),
    ("two_beds_one_name.toml", &[("30:8", "two beds are called “strawberries”")]),
    ("missing_sheet.toml", &[("23:20", "“heavy 27” is no sheet in the stock")]),
    (
        "many_faults.toml",
        &[
            ("6:13", "longitude is not a number"),
            ("11:8", "“lome” is no soil"),
            ("15:10", "people is 1.5"),
            ("23:9", "these hoops cannot stand"),
            ("28:12", "hardened is neither"),
            ("29:9", "worth is not a number"),
        ],
    ),
    (
        "messages.toml",
        &[
            ("47:11", "told in the afternoon"),
            ("48:14", "only one end"),
            ("49:8", "the link is no address"),
            ("57:8", "“ann” is told already"),
            ("64:6", "the address is none of the web"),
            ("69:6", "“cleo at example.org” is no mail address"),
            ("73:12", "unencrypted over the network"),
        ],
    ),
];

fn place(text: &str, at: usize) -> String {
    let before = &text[..at.min(text.len())];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
    format!("{line}:{column}")
}

#[test]
fn every_malformed_garden_gives_its_messages() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/malformed");
    for (name, expected) in CASES {
        let text = std::fs::read_to_string(folder.join(name)).expect("the fixture is there");
        let reading = file::read(&text);
        assert!(reading.garden.is_none(), "{name}");
        let got: Vec<(String, String)> = reading
            .faults
            .iter()
            .map(|f| (place(&text, f.span.start), f.message.clone()))
            .collect();
        assert_eq!(got.len(), expected.len(), "{name}: {got:?}");
        for (at, words) in expected {
            assert!(
                got.iter().any(|g| g.0.starts_with(at) && g.1.contains(words)),
                "{name} {at} {words}: {got:?}"
            );
        }
    }
    let files = std::fs::read_dir(folder).expect("the folder is there").count();
    assert_eq!(files, CASES.len(), "every fixture has its case");
}

#[test]
fn the_nearest_word_is_offered() {
    let read = |name: &str| {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/malformed");
        file::read(&std::fs::read_to_string(folder.join(name)).expect("the fixture is there"))
    };
    let nearest = |name: &str, i: usize| read(name).faults[i].nearest.clone();
    assert_eq!(nearest("misspelt_crop.toml", 0).as_deref(), Some("broccoli"));
    assert_eq!(nearest("misspelt_stage.toml", 0).as_deref(), Some("open bloom"));
    assert_eq!(nearest("missing_sheet.toml", 0).as_deref(), Some("heavy 72"));
}

/// Slips of one hand in a good garden, each told once, whatever follows from it.
#[test]
fn one_cause_is_one_fault() {
    let good = include_str!("../../../demo/wisconsin/garden.toml");
    let metric = include_str!("../../../demo/jura/garden.toml");
    for (text, from, to, part) in [
        (good, "units = \"us\"", "units = \"imperial\"", "no units"),
        (metric, "units = \"metric\"", "units = \"si\"", "no units"),
        (metric, "units = \"metric\"\n", "", "no units"),
        (good, "[stock]", "[stok]", "no key “stok”"),
        (good, "[labour]", "[labor]", "no key “labor”"),
        (good, "position_ft = [0, 0]", "position_ft = [0, 0", ""),
        (good, "weight_oz_yd2 = 1.5", "weight_oz_yd2 = \"heavy\"", "is not a number"),
        (good, "length_ft = 40", "lenght_ft = 40", "no key “lenght_ft”"),
    ] {
        let wrong = text.replacen(from, to, 1);
        assert_ne!(wrong, text, "{from}");
        let faults = file::read(&wrong).faults;
        assert_eq!(faults.len(), 1, "{from} → {to}: {faults:?}");
        assert!(faults[0].message.contains(part), "{from} → {to}: {faults:?}");
    }
    // A sheet that cannot be read, and beds on which it lies.
    let on = "on_now = { sheet = \"heavy 72\", layers = 1 }\nlength_ft = 40";
    let lying = good.replace("length_ft = 40", on);
    assert!(file::read(&lying).faults.is_empty(), "{:?}", file::read(&lying).faults);
    let wrong = lying.replacen("condition = \"good\"", "condition = \"fine\"", 1);
    assert_eq!(file::read(&wrong).faults.len(), 1, "{:?}", file::read(&wrong).faults);
}

/// Warnings a grower would give: a sheet no bed can use, a bed that nothing fits, hoops too far apart, no pins.
#[test]
fn a_grower_is_warned_of_what_cannot_work() {
    let good = include_str!("../../../demo/jura/garden.toml");
    let warned = |from: &str, to: &str| -> Vec<String> {
        let reading = file::read(&good.replacen(from, to, 1));
        assert!(reading.faults.is_empty(), "{:?}", reading.faults);
        reading.warnings.into_iter().map(|w| w.message).collect()
    };
    let narrow = warned("weight_g_m2 = 17\nwidth_cm = 210", "weight_g_m2 = 17\nwidth_cm = 40");
    assert_eq!(narrow, ["no bed can use sheet “17 g”"]);
    let wide = warned("length_m = 5\nwidth_cm = 100", "length_m = 5\nwidth_cm = 300");
    assert_eq!(wide, ["nothing in the stock fits bed “courgettes”"]);
    assert!(warned("spacing_cm = 120", "spacing_cm = 200")[0].contains("stand far apart"));
    assert!(warned("pins = 60", "pins = 0").iter().any(|w| w.contains("not a single pin")));
}

proptest! {
    #[test]
    fn no_text_makes_it_panic(text in "\\PC{0,200}") {
        let _ = file::read(&text);
    }

    #[test]
    fn no_damage_to_a_good_garden_makes_it_panic(at in 0..3000_usize, byte in "[ -~\n]", cut in 0..3000_usize) {
        let good = include_str!("../../../demo/jura/garden.toml");
        let mut text: String = good.chars().take(good.len() - cut % good.len()).collect();
        let n = text.chars().count().max(1);
        text = text.chars().enumerate().map(|(i, c)| if i == at % n { byte.chars().next().unwrap_or(' ') } else { c }).collect();
        let _ = file::read(&text);
    }
}
