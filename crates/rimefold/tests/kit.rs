//! `rimefold kit`: the answer for people and for programs, and what it says when it has nothing to choose from.

use crate::harness::{answered, rimefold, root, three_years};

/// Text without its line breaks.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_kit_says_what_to_own_what_to_buy_and_what_is_shared() {
    let run = rimefold(&["kit", "demo/wisconsin"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let text = one_line(&run.out);
    for words in [
        "Ridge garden: 16 of 16 needs met.",
        "What each bed carries",
        "Sheets in stock that serve",
        "shared with kale, spinach",
        "unshared it would take",
        "Hoops 22 hoops of 76 in, for broccoli, cabbage.",
        "Buy",
        "10-gauge wire, 500 ft coil",
        "A season costs",
        "No kit from these rolls and sizes costs less a season.",
        "Budget: 260.00 a year for 2 years",
        "safe from mice",
        "nothing here promises",
    ] {
        assert!(text.contains(words), "{words}:\n{}", run.out);
    }
}

#[test]
fn every_line_fits_a_terminal_and_a_phone() {
    for (columns, width) in [("80", 80), ("40", 40)] {
        let run = answered(&["kit", "demo/wisconsin", "--budget", "70"], "", columns);
        assert_eq!(run.code, 0, "{}", run.err);
        for line in run.out.lines() {
            assert!(line.chars().count() <= width, "{line}");
        }
        assert!(!run.out.contains('\u{1b}'));
    }
}

#[test]
fn too_small_a_budget_leaves_needs_unmet_and_says_so() {
    let run = rimefold(&["kit", "demo/wisconsin", "--budget", "70", "--years", "1"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let text = one_line(&run.out);
    assert!(text.contains("Unmet"), "{}", run.out);
    assert!(text.contains("the budget goes to beds of more worth"), "{}", run.out);
    assert!(text.contains("With no limit it would be"), "{}", run.out);
}

#[test]
fn json_is_json() {
    let run = rimefold(&["kit", "demo/wisconsin", "--json", "--have-hoops"]);
    let value: serde_json::Value = serde_json::from_str(&run.out).expect("JSON");
    assert_eq!(value["layout"], 1);
    assert_eq!(value["covers"].as_array().map(Vec::len), Some(16));
    assert_eq!(value["hoops"].as_array().map(Vec::len), Some(0));
    assert_eq!(value["hoops_standing"].as_array().map(Vec::len), Some(3));
    assert_eq!(value["proof"]["gap"], 0.0);
    let spent: f64 = value["years"]
        .as_array()
        .map(|ys| ys.iter().filter_map(|y| y["spent"].as_f64()).sum())
        .expect("years");
    assert!((spent - value["cost"]["paid"].as_f64().expect("a sum")).abs() < 1e-6);
}

#[test]
fn missing_prices_are_said_and_not_invented() {
    let text = std::fs::read_to_string(root().join("demo/wisconsin/garden.toml")).expect("read");
    let (beds, supply) = text.split_once("[supply]").expect("a supply");
    let bare: Vec<&str> = supply.lines().filter(|l| !l.starts_with("price")).collect();
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("garden.toml");
    std::fs::write(&path, format!("{beds}[supply]{}", bare.join("\n"))).expect("written");
    let run = rimefold(&["kit", folder.path().to_str().expect("text")]);
    assert_eq!(run.code, 0, "{}", run.err);
    let text = one_line(&run.out);
    assert!(text.contains("A price is missing, so the least cloth is sought"), "{}", run.out);
    assert!(text.contains("no price") && text.contains("not in the sums"), "{}", run.out);
}

#[test]
fn without_a_supply_it_says_what_to_write() {
    let run = rimefold(&["kit", "demo/jura"]);
    assert_eq!(run.code, 3);
    assert!(run.out.is_empty());
    for words in ["no cloth is on offer", "[[supply.cloth]]", "[[bed.need]]", "width_cm"] {
        assert!(run.err.contains(words), "{words}:\n{}", run.err);
    }
    // What it says to write can be read.
    let lines: Vec<&str> = run.err.lines().skip_while(|l| *l != "[supply]").collect();
    let example = lines.join("\n");
    let (supply, need) = example.split_once("\n\nand, after a bed").expect("two parts");
    let need = need.split_once("\n\n").expect("the need").1;
    let garden = std::fs::read_to_string(root().join("demo/jura/garden.toml")).expect("read");
    let garden = garden.replacen("\n[stock]", &format!("\n{need}\n[stock]"), 1);
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("garden.toml"), format!("{garden}\n{supply}\n"))
        .expect("written");
    let run = rimefold(&["kit", folder.path().to_str().expect("text")]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(run.out.contains(" m"), "{}", run.out);
}

/// The demonstration garden with an empty shed, and three invented years beside it.
fn with_record() -> tempfile::TempDir {
    let text = std::fs::read_to_string(root().join("demo/wisconsin/garden.toml")).expect("read");
    let (beds, rest) = text.split_once("[[stock.sheet]]").expect("a shed");
    let supply = rest.split_once("[supply]").expect("a supply").1;
    let dear = beds.replace("worth = ", "worth = 1");
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("garden.toml"), format!("{dear}[supply]{supply}"))
        .expect("written");
    std::fs::write(folder.path().join("station.csv"), three_years()).expect("written");
    folder
}

#[test]
fn a_record_says_what_sheets_would_have_saved() {
    let folder = with_record();
    let garden = folder.path().to_str().expect("text");
    let bare = rimefold(&["kit", "demo/wisconsin"]);
    assert!(one_line(&bare.out).contains("`rimefold station find` lists stations near it"));
    assert!(!bare.out.contains("Best sheets to buy"));
    for (columns, width) in [("80", 80), ("40", 40)] {
        let run = answered(&["kit", garden], "", columns);
        assert_eq!(run.code, 0, "{}", run.err);
        for words in [
            "What a sheet would have saved",
            "An estimate from 3 years of record, 2000 to 2002",
            "Best sheets to buy Within 520.00, the budget of 2 years:",
            "Beyond what your stock saves already it saves about",
            "one year in ten under",
            "How it was chosen",
            "nothing here promises",
        ] {
            assert!(one_line(&run.out).contains(words), "{words}:\n{}", run.out);
        }
        for line in run.out.lines() {
            assert!(line.chars().count() <= width, "{line}");
        }
        assert!(!run.out.contains("station find"));
    }
    let run = rimefold(&["kit", garden, "--json"]);
    let value: serde_json::Value = serde_json::from_str(&run.out).expect("JSON");
    let worth = &value["worth"];
    assert_eq!(worth["years"], serde_json::json!([2000, 2001, 2002]));
    let set = &worth["set"];
    let lines = set["lines"].as_array().expect("lines");
    let paid: f64 = lines
        .iter()
        .map(|l| l["count"].as_f64().zip(l["price"].as_f64()).map_or(0.0, |(n, p)| n * p))
        .sum();
    assert!(paid > 0.0 && (paid - set["paid"].as_f64().expect("a sum")).abs() < 1e-6, "{paid}");
    assert!(paid <= 520.0);
    let of = |who: &str, what: &str| set["mean_year"][who][what].as_f64().expect("a number");
    let cost = |who| of(who, "loss") + of(who, "labour");
    let saved = set["saves_a_year"]["mean"].as_f64().expect("a mean");
    assert!((cost("shed_alone") - cost("with_the_set") - saved).abs() < 1e-6);
    assert_eq!(rimefold(&["kit", garden, "--json"]).out, run.out, "the same answer again");
}

#[test]
fn a_record_that_does_not_serve_is_told_apart() {
    let folder = with_record();
    let garden = folder.path().to_str().expect("text");
    let run = rimefold(&["kit", garden, "--record-years", "1950-1960"]);
    assert_eq!(run.code, 6, "{}", run.err);
    assert!(run.err.contains("none of the years asked for"), "{}", run.err);
    let missing = rimefold(&["kit", garden, "--station", "nowhere.csv"]);
    assert_eq!(missing.code, 5, "{}", missing.err);
    // A torn record beside the garden leaves the kit as it is, with a remark.
    std::fs::write(folder.path().join("station.csv"), "no record\n").expect("written");
    let torn = rimefold(&["kit", garden]);
    assert_eq!(torn.code, 0, "{}", torn.err);
    assert!(torn.out.contains("What each bed carries"));
    assert!(torn.err.contains("what sheets would have saved is not said"), "{}", torn.err);
    let named = folder.path().join("station.csv");
    let named = rimefold(&["kit", garden, "--station", named.to_str().expect("text")]);
    assert_eq!(named.code, 4, "{}", named.err);
}
