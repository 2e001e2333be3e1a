//! `rimefold year`: words, JSON, drawing, calendar, exit codes, on an invented record.

use std::path::PathBuf;

use icalendar::{Calendar, CalendarComponent, Component as _, DatePerhapsTime};

use crate::harness::{answered, rimefold, root, three_years};

/// The demonstration garden's file with these of its beds.
fn with_beds(wanted: &[&str]) -> String {
    let text = std::fs::read_to_string(root().join("demo/wisconsin/garden.toml")).expect("there");
    let (head, rest) = text.split_once("[[bed]]").expect("beds");
    let (beds, stock) = rest.split_once("[stock]").expect("a stock");
    let beds: String = beds
        .split("[[bed]]")
        .filter(|b| wanted.iter().any(|w| b.contains(&format!("name = \"{w}\""))))
        .map(|b| format!("[[bed]]{b}"))
        .collect();
    format!("{head}{beds}[stock]{stock}")
}

/// A folder with the demonstration garden, four of its beds, and three invented years beside it.
fn folder() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let text = with_beds(&["strawberries", "broccoli", "kale", "early tomatoes"]);
    std::fs::write(folder.path().join("garden.toml"), text).expect("written");
    std::fs::write(folder.path().join("station.csv"), three_years()).expect("written");
    let path = folder.path().to_str().expect("text").to_owned();
    (folder, path)
}

/// Ten gardens, one after the other in a folder where the years of the beds before are kept, and each by itself in a new one.
#[test]
fn kept_years_of_beds_are_as_if_worked_out_anew() {
    let (folder, garden) = folder();
    let beds = [
        &["strawberries", "broccoli", "kale", "early tomatoes"][..],
        &["broccoli", "kale"],
        &["broccoli", "kale", "spinach"],
        &["spinach", "carrots"],
        &["carrots", "onions", "peas"],
        &["onions", "peas"],
        &["peas", "potatoes", "young peach"],
        &["young peach", "lettuce seedlings"],
        &["lettuce seedlings", "cabbage", "kale"],
        &["kale", "strawberries"],
    ];
    let mut taken = 0;
    for (n, wanted) in beds.iter().enumerate() {
        let mut text = with_beds(wanted);
        if n == 9 {
            text = text.replacen("exposure = \"slope\"", "exposure = \"open\"", 1);
        }
        std::fs::write(folder.path().join("garden.toml"), &text).expect("written");
        let asked = rimefold(&["year", &garden, "--json"]);
        assert_eq!(asked.code, 0, "{}", asked.err);
        assert_eq!(rimefold(&["year", &garden, "--json"]).out, asked.out, "{wanted:?}: kept");
        let (alone, apart) = self::folder();
        std::fs::write(alone.path().join("garden.toml"), &text).expect("written");
        let anew = rimefold(&["year", &apart, "--json"]);
        assert_eq!(asked.out, anew.out, "{wanted:?}");
        taken += usize::from(!asked.out.is_empty());
    }
    assert_eq!(taken, 10);
    let kept = std::fs::read_dir(folder.path().join("year")).expect("a folder of results");
    let kept: Vec<_> = kept.map(|f| f.expect("an entry").path()).collect();
    assert_eq!(kept.len(), 1, "one file for one record and one question: {kept:?}");
    // One bed asked by itself does not push the others out.
    let before = std::fs::read_to_string(&kept[0]).expect("text");
    assert_eq!(rimefold(&["year", &garden, "--bed", "kale"]).code, 0);
    assert_eq!(std::fs::read_to_string(&kept[0]).expect("text"), before);
    // A torn or a changed file is not believed, and made whole again.
    let whole = std::fs::read_to_string(&kept[0]).expect("text");
    let told = rimefold(&["year", &garden]).out;
    for bad in [&whole[..whole.len() / 2], &whole.replacen("\"steps\":", "\"steps\":1", 1), ""] {
        assert_ne!(bad, whole);
        std::fs::write(&kept[0], bad).expect("written");
        assert_eq!(rimefold(&["year", &garden]).out, told);
        assert_eq!(std::fs::read_to_string(&kept[0]).expect("text"), whole);
    }
}

#[test]
fn a_year_has_dates_and_says_what_it_rests_on() {
    let (_guard, garden) = folder();
    for columns in ["80", "40"] {
        let run = answered(&["year", &garden], "", columns);
        assert_eq!(run.code, 0, "{}", run.err);
        assert!(run.err.is_empty(), "no progress where there is no terminal: {}", run.err);
        let text = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in [
            "Harm is risked in one year in ten.",
            "Set out open from",
            "it stands for years",
            "Winter:",
            "cabbage root fly",
            "The hoops carry",
            "garden's own cold spot is added on clear calm nights only",
            "Advice, not a promise",
        ] {
            assert!(text.contains(words), "{words}:\n{}", run.out);
        }
        for line in run.out.lines() {
            assert!(line.chars().count() <= columns.parse().expect("a number"), "{line}");
        }
    }
    let twenty = rimefold(&["year", &garden, "--bed", "kale", "--risk", "20"]);
    let flat = twenty.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("one year in five"), "{}", twenty.out);
    assert!(!twenty.out.contains("tomatoes"), "{}", twenty.out);
}

#[test]
fn json_drawing_and_calendar_tell_the_same() {
    let (_guard, garden) = folder();
    let (svg, ics) =
        (PathBuf::from(&garden).join("year.svg"), PathBuf::from(&garden).join("year.ics"));
    let [svg_word, ics_word] = [&svg, &ics].map(|p| p.to_str().expect("text").to_owned());
    let run = rimefold(&[
        "year", &garden, "--json", "--svg", &svg_word, "--ics", &ics_word, "--season", "2028",
    ]);
    assert_eq!(run.code, 0, "{}", run.err);
    let value: serde_json::Value = serde_json::from_str(&run.out).expect("JSON");
    assert_eq!(value["layout"], 1);
    assert_eq!(value["years"].as_array().map(Vec::len), Some(3));
    let beds = value["beds"].as_array().expect("beds");
    assert_eq!(beds.len(), 4);
    let strawberry = &beds[0]["plantings"][0];
    assert_eq!(strawberry["set_out_absent"], "stands for years");
    assert_eq!(strawberry["set_out"], serde_json::json!([]), "absent stays absent");
    // Grown under a cover from the same day a crop is picked no later than grown open.
    let mut with_cover = 0;
    for row in beds.iter().flat_map(|b| b["plantings"][0]["set_out"].as_array().expect("rows")) {
        let of = |name: &str| row[name].as_str().map(str::to_owned);
        assert!(of("first_picking") <= of("first_picking_grown_open"), "{row}");
        with_cover += usize::from(!row["cover"].is_null() && of("first_picking").is_some());
        assert_eq!(row["cover"].is_null(), row["cover"].as_u64().is_none());
    }
    assert!(with_cover > 0);
    let out = beds[1]["plantings"][0]["set_out"][0]["earliest"].as_str().expect("a date");

    // A reader of the registries, written by others.
    let text = std::fs::read_to_string(&ics).expect("written");
    let read: Calendar = text.parse().expect("a calendar");
    let events: Vec<_> = read
        .components
        .iter()
        .filter_map(|c| if let CalendarComponent::Event(e) = c { Some(e) } else { None })
        .collect();
    let mut names: Vec<_> = events.iter().filter_map(|e| e.get_uid()).collect();
    names.sort_unstable();
    assert!(names.windows(2).all(|w| w[0] != w[1]), "every event has its own name");
    let broccoli = events.iter().find(|e| e.get_summary() == Some("broccoli: may go out open"));
    let start = broccoli.expect("an event").get_start();
    assert!(
        matches!(start, Some(DatePerhapsTime::Date(d)) if d.to_string() == format!("2028-{out}")),
        "{start:?}"
    );
    let carried: usize = beds.iter().map(|b| b["carried"].as_array().map_or(0, Vec::len)).sum();
    let drawn = std::fs::read_to_string(&svg).expect("written");
    assert!(carried > 0 && drawn.matches("<rect").count() == carried + 4, "bars and the legend");
    assert!(events.iter().all(|e| e.get_start().is_some() && e.get_end().is_some()));
    well_formed(&drawn);
    for bed in ["strawberries", "broccoli", "kale", "early tomatoes"] {
        assert!(drawn.contains(&format!(">{bed}<")), "{bed}");
    }
    // Nothing is written over.
    let again = rimefold(&["year", &garden, "--bed", "kale", "--svg", &svg_word]);
    assert_eq!(again.code, 10, "{}", again.err);
}

/// Every tag is closed in order, and text holds no bare ampersand.
fn well_formed(svg: &str) {
    let mut open = Vec::new();
    for piece in svg.split('<').skip(1) {
        let (tag, text) = piece.split_once('>').expect("a tag ends");
        let name = |t: &str| t.split_whitespace().next().expect("a name").to_owned();
        if let Some(closed) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(name(closed)), "{piece}");
        } else if !tag.ends_with('/') {
            open.push(name(tag));
        }
        assert!(!text.replace("&amp;", "").replace("&quot;", "").contains('&'), "{piece}");
        assert_eq!(tag.matches('"').count() % 2, 0, "{piece}");
    }
    assert!(open.is_empty(), "{open:?}");
}

#[test]
fn each_cause_has_its_exit_code() {
    let (_guard, garden) = folder();
    assert_eq!(rimefold(&["year", &garden, "--years", "1950-1960"]).code, 6);
    assert_eq!(rimefold(&["year", &garden, "--risk", "0"]).code, 2);
    assert_eq!(rimefold(&["year", &garden, "--bed", "nowhere"]).code, 2);
    assert_eq!(rimefold(&["year", &garden, "--station", "nowhere.csv"]).code, 5);
    assert_eq!(rimefold(&["year", "demo/wisconsin"]).code, 5);
    std::fs::write(PathBuf::from(&garden).join("station.csv"), "<html>").expect("written");
    assert_eq!(rimefold(&["year", &garden]).code, 4);
}
