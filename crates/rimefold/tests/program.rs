//! Verbs, exit codes, messages, widths.

use crate::harness::{answered, rimefold, root};

const AT: [&str; 2] = ["--at", "2027-05-14T16:00"];

fn tonight(extra: &[&str]) -> crate::harness::Run {
    rimefold(&[&["tonight", "demo/wisconsin"], &AT[..], extra].concat())
}

/// Text without its line breaks.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_plan_says_bed_sheet_deadline_reason_and_minutes() {
    let run = tonight(&["--why"]);
    assert_eq!(run.code, 0, "{}", run.err);
    for words in [
        "Cover, in this order",
        "strawberries: ",
        "Coldest leaf open",
        "the label claims 7",
        "Leave open",
        "kale, established stands it",
        "If time is short",
        "Tomorrow morning",
        "May stay covered: ",
        "bees need the flowers",
        "A loose mulch may do",
        "Advice, not a promise",
        "Clear and calm",
    ] {
        assert!(one_line(&run.out).contains(words), "{words}:\n{}", run.out);
    }
}

/// The brief answer: one table of what to do, at most twenty lines for twelve beds.
#[test]
fn what_to_do_is_twenty_lines_at_most() {
    for extra in [&[][..], &["--forecast", "demo/wisconsin/forecast-windy.json"]] {
        let run = tonight(extra).code(0);
        let lines: Vec<&str> = run.out.lines().collect();
        assert!(lines.len() <= 20 && lines.iter().all(|l| l.chars().count() <= 80), "{}", run.out);
    }
    let run = tonight(&[]);
    let json: serde_json::Value = serde_json::from_str(&tonight(&["--json"]).out).expect("JSON");
    let work = json["work"].as_array().expect("work");
    let rows: Vec<&str> = run
        .out
        .lines()
        .filter(|l| l.trim_start().starts_with(|c: char| c.is_ascii_digit()))
        .collect();
    assert_eq!(rows.len(), work.len(), "{}", run.out);
    let mut ranks: Vec<usize> = Vec::new();
    for (row, task) in rows.iter().zip(work) {
        assert!(row.contains(task["bed"].as_str().expect("a bed")), "{row}: {task}");
        ranks.push(row.split_whitespace().last().expect("a rank").parse().expect("a number"));
    }
    // What the fewest minutes are worth spending on comes first.
    let least = json["short_lists"][0]["beds"][0].as_str().expect("a bed");
    let first = ranks.iter().position(|r| *r == 1).expect("a first");
    assert!(rows[first].contains(least), "{least}: {}", run.out);
    ranks.sort_unstable();
    assert_eq!(ranks, (1..=work.len()).collect::<Vec<_>>());
}

#[test]
fn every_line_fits_a_terminal_and_a_phone_and_is_plain_when_piped() {
    for columns in ["80", "40"] {
        let run = answered(&["demo"], "", columns);
        let own_commands = |l: &&str| !l.contains("rimefold ") && !l.contains("--forecast");
        for line in run.out.lines().filter(own_commands) {
            let width: usize = columns.parse().expect("a number");
            assert!(line.chars().count() <= width, "{line}");
        }
        assert!(!run.out.contains('\u{1b}'));
    }
}

#[test]
fn wind_and_cloud_are_named() {
    let run = tonight(&["--why", "--forecast", "demo/wisconsin/forecast-windy.json"]);
    assert!(
        one_line(&run.out).contains("Wind and cloud: open leaves stay near air temperature"),
        "{}",
        run.out
    );
}

#[test]
fn a_quiet_night_is_one_sentence_with_its_margin() {
    let run = tonight(&["--forecast", "demo/wisconsin/forecast-mild.json"]);
    assert!(run.out.starts_with("Quiet night, nothing to cover: low 48 °F"), "{}", run.out);
    assert!(one_line(&run.out).contains("above its limit nine nights in ten."));
    assert!(run.out.lines().count() <= 3, "{}", run.out);
}

#[test]
fn a_metric_garden_speaks_metric() {
    let run = rimefold(&[&["tonight", "demo/jura", "--why"], &AT[..]].concat());
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(run.out.contains("°C") && !run.out.contains("°F"));
    assert!(
        one_line(&run.out).contains("The forecast says nothing about new snow."),
        "{}",
        run.out
    );
}

#[test]
fn json_is_json() {
    let run = tonight(&["--json"]);
    let value: serde_json::Value = serde_json::from_str(&run.out).expect("JSON");
    assert_eq!(value["layout"], 2);
    assert_eq!(value["beds"].as_array().map(Vec::len), Some(12));
    assert!(value["proof"]["worst_residual_w_m2"].as_f64().is_some_and(|r| r < 0.1));
    assert!(value["weather"]["nights"].as_u64().is_some_and(|n| n >= 200));
}

#[test]
fn every_malformed_forecast_ends_with_one_message_and_code_4() {
    let folder = root().join("crates/weather/tests/malformed");
    let mut count = 0;
    for entry in std::fs::read_dir(folder).expect("the folder") {
        let path = entry.expect("an entry").path();
        let run = tonight(&["--forecast", path.to_str().expect("text")]);
        assert_eq!(run.code, 4, "{}: {}", path.display(), run.err);
        assert_eq!(run.err.trim().lines().count(), 1, "{}", run.err);
        assert!(run.out.is_empty() && !run.err.contains("panicked"));
        count += 1;
    }
    assert!(count >= 20);
}

#[test]
fn every_malformed_garden_ends_with_places_and_code_3() {
    let folder = root().join("crates/garden/tests/malformed");
    let mut count = 0;
    for entry in std::fs::read_dir(folder).expect("the folder") {
        let path = entry.expect("an entry").path();
        let run = rimefold(&["check", path.to_str().expect("text")]);
        assert_eq!(run.code, 3, "{}: {}", path.display(), run.err);
        assert!(run.err.starts_with("Line ") && run.err.contains("\n    "), "{}", run.err);
        assert!(run.err.contains("What could stand there: "), "{}", run.err);
        assert!(!run.err.contains("panicked"), "{}", run.err);
        count += 1;
    }
    assert!(count >= 10);
}

#[test]
fn check_offers_the_nearest_word() {
    let run = rimefold(&["check", "crates/garden/tests/malformed/misspelt_crop.toml"]);
    assert!(run.err.contains("Most like it: broccoli."), "{}", run.err);
    let fine = rimefold(&["check", "demo/wisconsin"]);
    assert_eq!((fine.code, fine.out.contains("12 beds, 12 plantings")), (0, true), "{}", fine.out);
}

#[test]
fn each_cause_has_its_exit_code() {
    assert_eq!(rimefold(&["tonight", "demo/nowhere"]).code, 5);
    assert_eq!(rimefold(&["tonight", "demo/wisconsin", "--at", "tomorrow"]).code, 2);
    assert_eq!(rimefold(&["tonight", "demo/wisconsin", "--at", "2027-06-14T16:00"]).code, 6);
    assert_eq!(rimefold(&["frobnicate"]).code, 2);
    let document = include_str!("../../../docs/exit-codes.md");
    let source = one_line(include_str!("../src/exit.rs"));
    for line in document.lines().filter(|l| l.starts_with("| ") && l.contains(char::is_numeric)) {
        let mut cells = line.split('|').map(str::trim).skip(1);
        let (code, meaning) = (cells.next().expect("a code"), cells.next().expect("words"));
        assert!(code == "0" || source.contains(&format!("{code}, \"{meaning}\"")), "{line}");
    }
}

#[test]
fn new_asks_or_takes_flags_and_never_overwrites() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().to_str().expect("text");
    let answers =
        "My plot\n46.7 5.9\nmetric\n520\nEurope/Paris\nclay loam\nslope\n1\n40\n3\n8\n90\n";
    let run = answered(&["new", path], answers, "80");
    assert_eq!(run.code, 0, "{}", run.err);
    assert_eq!(rimefold(&["check", path]).code, 0);
    assert_eq!(answered(&["new", path], answers, "80").code, 10, "it must not overwrite");
    let other = folder.path().join("flags");
    let other = other.to_str().expect("text");
    let flags = [
        "new",
        other,
        "--no-questions",
        "--name",
        "Flags",
        "--units",
        "us",
        "--latitude",
        "43.6",
        "--longitude",
        "-90.9",
        "--elevation",
        "1050",
        "--zone",
        "America/Chicago",
    ];
    assert_eq!(rimefold(&flags).code, 0);
    assert_eq!(rimefold(&["check", other]).code, 0);
    let third = folder.path().join("third");
    let third = third.to_str().expect("text");
    assert_eq!(rimefold(&["new", third, "--no-questions"]).code, 2);
    assert_eq!(answered(&["new", third], "", "80").code, 2, "nobody answers");
    // A bad answer is asked for again; where the answers end nothing is made up and nothing written.
    let fourth = folder.path().join("fourth");
    let fourth = fourth.to_str().expect("text");
    let half = "South\n95 S 170 E\n45°51'S 170°30'E\n\n";
    assert_eq!(answered(&["new", fourth], half, "80").code, 2);
    assert!(!folder.path().join("fourth").exists(), "half an answer writes nothing");
    let whole = format!("{half}high\n30\nMars/Olympus\n\n\n\n0\n2\n\n\n\n\n");
    let run = answered(&["new", fourth], &whole, "80");
    assert_eq!(run.code, 0, "{}", run.err);
    assert_eq!(run.err.matches("expected").count(), 4, "{}", run.err);
    let written = std::fs::read_to_string(folder.path().join("fourth/garden.toml")).expect("it");
    assert!(written.contains("latitude = -45.85") && written.contains("people = 2"), "{written}");
    // Units and zone follow the place.
    assert!(written.contains("Pacific/Auckland") && written.contains("length_m = 6"), "{written}");
    // By name, without a question; a name that several towns bear is asked about.
    let by_name = |folder: &str, town: &str| {
        rimefold(&[
            "new",
            folder,
            "--no-questions",
            "--name",
            "N",
            "--at",
            town,
            "--elevation",
            "9",
        ])
    };
    let fifth = folder.path().join("fifth");
    let fifth = fifth.to_str().expect("text");
    let several = by_name(fifth, "Springfield");
    assert!(
        several.code == 2 && several.err.contains("Springfield, MO, United States"),
        "{}",
        several.err
    );
    let run = by_name(fifth, "Dunedin, New Zealand");
    assert_eq!(run.code, 0, "{}", run.err);
    let written = std::fs::read_to_string(folder.path().join("fifth/garden.toml")).expect("it");
    assert!(
        written.contains("latitude = -45.87") && written.contains("Pacific/Auckland"),
        "{written}"
    );
}

/// Thirteen minutes before dark thirty-eight minutes of work cannot be done by dark: what can be is said first, and what the
/// rest would save by lamp.
#[test]
fn asked_late_it_says_what_can_still_be_done() {
    let late = |at: &str| rimefold(&["tonight", "demo/wisconsin", "--at", at]);
    let dusk = late("2027-05-14T20:40");
    assert_eq!(dusk.code, 0, "{}", dusk.err);
    let flat = one_line(&dusk.out);
    assert!(flat.contains("Cover 3 beds. Two people, 13 minutes each: start now"), "{flat}");
    assert!(flat.contains("5 more after dark by lamp, or lost"), "{flat}");
    assert!(flat.contains("else it is lost"), "{flat}");
    let night = one_line(&late("2027-05-14T22:30").out);
    assert!(night.contains("it is dark already") && !night.contains("by 8:53 pm"), "{night}");
    assert!(night.contains("Likely lost already since sunset: "), "{night}");
    // A time still to come that the work cannot meet is no time since which it is late.
    let before_dawn = one_line(&late("2027-05-15T04:30").out);
    assert!(before_dawn.contains("too late for"), "{before_dawn}");
    assert!(!before_dawn.contains("LATE since 4:40 am"), "{before_dawn}");
}

/// A shed without sheets on a night of frost: what is at risk stands in the first line, not a word of calm.
#[test]
fn beds_that_nothing_can_cover_are_in_the_headline() {
    let demo =
        std::fs::read_to_string(root().join("demo/wisconsin/garden.toml")).expect("a garden");
    let (beds, stock) = demo.split_once("[stock]").expect("a stock");
    let supply = stock.split_once("# What can be bought").expect("a supply").1;
    let folder = tempfile::tempdir().expect("a folder");
    let bare = format!("{beds}[stock]\npins = 0\nclips = 0\n\n# What can be bought{supply}");
    std::fs::write(folder.path().join("garden.toml"), bare).expect("written");
    let path = folder.path().display().to_string();
    let forecast = "demo/wisconsin/forecast.json";
    let run = rimefold(&["tonight", &path, "--forecast", forecast, "--at", "2027-05-14T16:00"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let first = run.out.lines().next().expect("a line");
    assert!(first.contains("beds are at risk, and nothing at hand can cover them"), "{first}");
}

/// Where a bed is lost whatever is done, that is what is said first, with what is left to do.
#[test]
fn a_night_that_kills_is_not_called_quiet() {
    let garden = crate::diary::Garden::new("jura");
    let hour = |h: i64| {
        let time = jiff::Timestamp::from_second(1_810_296_000 + 3600 * h).expect("a time");
        // From 2 °C in the afternoon of 14 May 2027 to −16 °C before sunrise.
        let air = 2.0 - 18.0 * (h as f64 / 15.0).min(1.0);
        format!("{time},{air:.1},{:.1},1,0\n", air - 2.0)
    };
    let head = "time,air_temperature_c,dew_point_c,wind_speed_m_s,cloud_pct\n".to_owned();
    let forecast = garden.write("cold.csv", head + &(0..30).map(hour).collect::<String>());
    let folder = garden.path.display().to_string();
    let at = ["--at", "2027-05-14T16:00"];
    let run = rimefold(&["tonight", &folder, "--forecast", &forecast, at[0], at[1]]);
    assert_eq!(run.code, 0, "{}", run.err);
    let first: Vec<&str> = run.out.lines().take(6).collect();
    let first = first.join(" ");
    println!("{first}");
    for calm in ["Nothing worth covering", "Quiet night"] {
        assert!(!first.contains(calm), "{first}");
    }
    assert!(first.contains("very likely lose a tenth or more"), "{first}");
    assert!(first.contains("pick what is ripe") && first.contains("indoors"), "{first}");
}
