//! `rimefold replay`: words, JSON, kept results, exit codes, on an invented record.

use std::path::PathBuf;

use crate::harness::{answered, rimefold, root};

/// A folder with the demonstration garden and three invented years beside it.
fn folder() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::copy(root().join("demo/wisconsin/garden.toml"), folder.path().join("garden.toml"))
        .expect("copied");
    let mut csv = String::from("date,tmin_c,tmax_c\n");
    let mut day = jiff::civil::date(2000, 1, 1);
    for n in 0..3 * 365 + 1 {
        let wave = -(f64::from(n - 20) / 365.25 * std::f64::consts::TAU).cos();
        let weather = 4.0 * (f64::from(n) * 0.9).sin();
        let low = 3.0 + 14.0 * wave + weather;
        csv += &format!("{day},{low:.1},{:.1}\n", low + 12.0);
        day = day.tomorrow().expect("a day");
    }
    std::fs::write(folder.path().join("station.csv"), csv).expect("written");
    let path = folder.path().to_path_buf();
    (folder, path)
}

fn kept(path: &std::path::Path) -> Vec<PathBuf> {
    let files = std::fs::read_dir(path.join("replay")).expect("a folder of results");
    files.map(|f| f.expect("an entry").path()).collect()
}

#[test]
fn a_replay_compares_and_is_kept() {
    let (_guard, path) = folder();
    let garden = path.to_str().expect("text");
    let first = rimefold(&["replay", garden]);
    assert_eq!(first.code, 0, "{}", first.err);
    for words in [
        "Never cover",
        "Cover below 32 °F",
        "The evening plan",
        "left on while it stays so",
        "Best rule of thumb with the same forecast:",
        "Best without a forecast:",
        "Perfect foresight",
        "Measured: each day's minimum and maximum.",
        "What is lost stays lost.",
        "Advice, not a promise.",
    ] {
        let text = first.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(words), "{words}:\n{}", first.out);
    }
    assert!(first.err.is_empty(), "no progress where there is no terminal: {}", first.err);
    assert_eq!(kept(&path).len(), 1);
    assert_eq!(rimefold(&["replay", garden]).out, first.out, "kept results read back the same");
    // A torn or foreign file is not believed.
    let file = kept(&path).remove(0);
    let text = std::fs::read_to_string(&file).expect("text");
    std::fs::write(&file, &text[..text.len() / 2]).expect("written");
    assert_eq!(rimefold(&["replay", garden]).out, first.out);
    assert_eq!(std::fs::read_to_string(&file).expect("text"), text);
    // Kept results are what is shown: an altered loss alters the answer; a block of other years is done again.
    let line = text.lines().nth(4).expect("a season");
    let (loss, rest) = line.split_once(' ').expect("cells");
    assert!(loss.parse::<f64>().is_ok());
    std::fs::write(&file, text.replacen(line, &format!("99999.0 {rest}"), 1)).expect("written");
    assert_ne!(rimefold(&["replay", garden]).out, first.out);
    std::fs::write(&file, text.replacen("year 2000 ", "year 1999 ", 1)).expect("written");
    assert_eq!(rimefold(&["replay", garden]).out, first.out);
    for columns in ["80", "40"] {
        for line in answered(&["replay", garden], "", columns).out.lines() {
            assert!(line.chars().count() <= columns.parse().expect("a number"), "{line}");
        }
    }
}

#[test]
fn json_is_json_and_in_si() {
    let (_guard, path) = folder();
    let run = rimefold(&["replay", path.to_str().expect("text"), "--years", "2001-2002", "--json"]);
    let value: serde_json::Value = serde_json::from_str(&run.out).expect("JSON");
    assert_eq!(value["layout"], 2);
    assert_eq!(value["years"].as_array().map(Vec::len), Some(2));
    assert_eq!(value["policies"].as_array().map(Vec::len), Some(10));
    assert!(value["proof"]["worst_residual_w_m2"].as_f64().is_some_and(|r| r > 0.0 && r < 0.1));
    let cost = |y: &serde_json::Value, p: &str| {
        let c = &y["cost"][p];
        ["loss", "labour", "light"].iter().map(|k| c[*k].as_f64().expect("money")).sum::<f64>()
    };
    for year in value["years"].as_array().expect("years") {
        let least = year["perfect_foresight_bound"].as_f64().expect("money");
        assert!(cost(year, "perfect_foresight") >= least - 1e-6);
        assert!(cost(year, "never") >= least - 1e-6);
        assert!(cost(year, "left_on_through_cold_spells") >= least - 1e-6);
    }
    assert_eq!(value["draws"], 12);
    for scale in ["value_over_best_rule", "value_over_best_fixed"] {
        let plan = value["policies"].as_array().expect("policies").iter();
        let plan = plan.clone().find(|p| p["policy"] == "evening_plan").expect("the plan");
        let of = &plan[scale];
        assert!(of["value"].as_f64().is_some_and(|v| v <= 1.0), "{of}");
        for spread in ["years_5_to_95", "draws_least_to_greatest"] {
            assert_eq!(of[spread].as_array().map(Vec::len), Some(2), "{scale} {spread}");
        }
    }
}

#[test]
fn each_cause_has_its_exit_code() {
    let (_guard, path) = folder();
    let garden = path.to_str().expect("text");
    assert_eq!(rimefold(&["replay", garden, "--years", "1950-1960"]).code, 6);
    assert_eq!(rimefold(&["replay", garden, "--years", "2002-2000"]).code, 2);
    assert_eq!(rimefold(&["replay", garden, "--station", "nowhere.csv"]).code, 5);
    let none = rimefold(&["replay", "demo/wisconsin"]);
    assert_eq!(none.code, 5);
    assert!(
        none.err.contains("--station FILE") && none.err.contains("station fetch"),
        "{}",
        none.err
    );
    std::fs::write(path.join("station.csv"), "<html>").expect("written");
    assert_eq!(rimefold(&["replay", garden]).code, 4);
}

/// A folder that cannot be written to still gets its answer.
#[test]
fn results_that_cannot_be_kept_are_told() {
    let (_guard, path) = folder();
    std::fs::write(path.join("replay"), "a file in the way").expect("written");
    let run = rimefold(&["replay", path.to_str().expect("text"), "--years", "2001"]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(run.err.contains("results are not kept"), "{}", run.err);
}
