//! The verb `cut`: text, drawing, JSON, and what to do where nothing is on offer.

use crate::harness::{answered, rimefold, root};

/// A folder with the metric demo garden and something on offer.
fn garden() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let text = std::fs::read_to_string(root().join("demo/jura/garden.toml")).expect("the demo");
    let supply = "\n[supply]\n[[supply.rod]]\nname = \"long coil\"\nmaterial = \"fibreglass\"\ndiameter_mm = 8\n\
        length_m = 9\nprice = 21\n[[supply.cloth]]\nname = \"wide roll\"\nkind = \"row cover\"\nweight_g_m2 = 50\n\
        width_cm = 260\nlength_m = 25\nprice = 44\n";
    std::fs::write(folder.path().join("garden.toml"), text + supply).expect("written");
    folder
}

#[test]
fn the_cut_is_told_drawn_and_proven() {
    let folder = garden();
    let path = folder.path().display().to_string();
    let run = rimefold(&["cut", &path]);
    assert_eq!(run.code, 0, "{}", run.err);
    let flat = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
    // Six hoops of 2 m from coils of 9 m: four from one, two from the other, and no way with one coil.
    for words in [
        "6 hoops from 8 mm fibreglass rod",
        "6 × 200 cm: salads.",
        "Costs 42.00; no way of cutting them costs less.",
        "4 × 200 cm",
        "4 sheets from 50 g row cover",
        "“wide roll” (260 cm × 25 m)",
        "wear gloves and eye protection",
    ] {
        assert!(flat.contains(words), "{words}:\n{}", run.out);
    }
    for line in answered(&["cut", &path], "", "40").out.lines() {
        assert!(line.chars().count() <= 40, "{line}");
    }
    let svg = folder.path().join("cuts.svg").display().to_string();
    let json = rimefold(&["cut", &path, "--json", "--svg", &svg]);
    let told: serde_json::Value = serde_json::from_str(&json.out).expect("JSON");
    assert_eq!(told["rods"][0]["proof"]["gap"], 0.0);
    let drawn = std::fs::read_to_string(&svg).expect("drawn");
    assert!(drawn.starts_with("<svg") && drawn.matches("<rect").count() >= 12, "{drawn}");
}

#[test]
fn nothing_on_offer_is_answered_with_what_to_write() {
    let run = rimefold(&["cut", "demo/jura"]);
    assert_eq!(run.code, 3);
    for words in ["nothing is on offer", "[[supply.rod]]", "diameter_mm", "[[supply.cloth]]"] {
        assert!(run.err.contains(words), "{words}: {}", run.err);
    }
    let folder = garden();
    let path = folder.path().display().to_string();
    let run = rimefold(&["cut", &path, "--bed", "nowhere"]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("no bed is called `nowhere`; there are: salads"), "{}", run.err);
}
