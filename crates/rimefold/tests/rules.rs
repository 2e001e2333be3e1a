//! The rules of the code, asserted.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use crate::harness::root;

const EDGES: [(&str, &[&str]); 10] = [
    ("quantities", &[]),
    ("milp", &[]),
    ("weather", &["quantities"]),
    ("garden", &["quantities", "structure"]),
    ("microclimate", &["quantities"]),
    ("structure", &[]),
    ("evening", &["garden", "microclimate", "milp", "quantities", "structure", "weather"]),
    ("purchase", &["garden", "milp", "quantities", "structure"]),
    (
        "history",
        &[
            "evening",
            "garden",
            "microclimate",
            "milp",
            "purchase",
            "quantities",
            "structure",
            "weather",
        ],
    ),
    (
        "rimefold",
        &["evening", "garden", "history", "milp", "purchase", "quantities", "structure", "weather"],
    ),
];

fn sources(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

fn read(path: &Path) -> String {
    std::fs::read_to_string(path).expect("a source file")
}

#[test]
fn imports_run_exactly_as_drawn() {
    for (room, allowed) in EDGES {
        let manifest = read(&root().join("crates").join(room).join("Cargo.toml"));
        let value: toml::Table = manifest.parse().expect("a manifest");
        let dependencies = value["dependencies"].as_table().expect("dependencies");
        let rooms: BTreeSet<&str> = EDGES.iter().map(|e| e.0).collect();
        let got: BTreeSet<&str> =
            dependencies.keys().map(String::as_str).filter(|k| rooms.contains(k)).collect();
        assert_eq!(got, allowed.iter().copied().collect(), "{room}");
        if room != "rimefold" {
            for heavy in ["anyhow", "tokio", "rusqlite", "ureq", "axum", "clap"] {
                assert!(!dependencies.contains_key(heavy), "{room} has {heavy}");
            }
            assert_eq!(dependencies.contains_key("serde_json"), room == "weather", "{room}");
        }
    }
}

/// What each module of the program may name of its siblings; what nobody lists is its own.
const INSIDE: [(&str, &[&str]); 5] = [
    ("answers", &["answers", "diary", "exit", "format", "outside", "paragraphs"]),
    ("cli", &["answers", "cli", "diary", "exit", "format", "outside", "paragraphs"]),
    ("pages", &["answers", "diary", "digest", "exit", "format", "outside", "pages"]),
    ("outside", &["exit", "outside"]),
    ("format.rs", &[]),
];

/// The files that start the pages.
const STARTS_PAGES: [&str; 2] = ["cli/serve.rs", "cli/demo.rs"];

/// Answers call no face, faces call answers and not each other, the outside calls none of ours.
#[test]
fn modules_inside_the_program_import_as_drawn() {
    let source = root().join("crates/rimefold/src");
    let mut files = Vec::new();
    sources(&source, &mut files);
    let mut seen = 0;
    for path in files {
        let inside = path.strip_prefix(&source).expect("a file of the program");
        let shown = inside.display().to_string().replace('\\', "/");
        let room = shown.split('/').next().unwrap_or_default();
        let Some((_, allowed)) = INSIDE.iter().find(|e| e.0 == room) else { continue };
        seen += 1;
        for named in read(&path).split("crate::").skip(1) {
            let end = named.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(named.len());
            let starts = &named[..end] == "pages" && STARTS_PAGES.contains(&shown.as_str());
            assert!(starts || allowed.contains(&&named[..end]), "{shown} names {}", &named[..end]);
        }
    }
    assert!(seen > 80, "{seen} files");
}

#[test]
fn only_the_outside_touches_the_world() {
    let mut files = Vec::new();
    sources(&root().join("crates"), &mut files);
    for path in files {
        let shown = path.display().to_string().replace('\\', "/");
        if !shown.contains("/src/") || shown.contains("/rimefold/src/outside/") {
            continue;
        }
        let text = read(&path);
        for word in [
            "SystemTime",
            "Timestamp::now",
            "std::env",
            "std::fs",
            "println!(",
            "eprintln!(",
            "std::net",
        ] {
            assert!(!text.contains(word), "{shown} has {word}");
        }
    }
}

#[test]
fn every_file_says_what_it_is_for_and_stays_small() {
    let mut files = Vec::new();
    sources(&root().join("crates"), &mut files);
    let mut lengths = Vec::new();
    for path in files {
        let text = read(&path);
        let shown = path.display();
        assert!(text.starts_with("//! "), "{shown} does not say what it is for");
        for word in [
            concat!("#[all", "ow("),
            concat!("to", "do!("),
            concat!("db", "g!("),
            concat!("FIX", "ME"),
        ] {
            assert!(!text.contains(word), "{shown} has {word}");
        }
        let lines = text.lines().count();
        assert!(lines <= 600, "{shown} has {lines} lines");
        lengths.push(lines);
    }
    lengths.sort_unstable();
    assert!(lengths[lengths.len() / 2] <= 200, "median {}", lengths[lengths.len() / 2]);
}

#[test]
fn microclimate_knows_no_crops_money_or_local_time() {
    let mut files = Vec::new();
    sources(&root().join("crates/microclimate/src"), &mut files);
    for path in files {
        let text = read(&path);
        for word in ["crop", "worth", "money", "jiff", "zone_name"] {
            let code: String = text.lines().filter(|l| !l.trim_start().starts_with("//")).collect();
            assert!(!code.contains(word), "{} has {word}", path.display());
        }
    }
}

/// Every test named in docs/science.md and every function exists in the sources.
#[test]
fn the_science_page_names_what_exists() {
    let mut files = Vec::new();
    sources(&root().join("crates"), &mut files);
    let all: String = files.iter().map(|p| read(p)).collect();
    let page = read(&root().join("docs/science.md"));
    for quoted in page.split('`').skip(1).step_by(2) {
        let last = quoted.rsplit("::").next().unwrap_or(quoted);
        if quoted.ends_with(".toml") {
            assert!(root().join("crates/microclimate/tests").join(quoted).exists(), "{quoted}");
        } else if quoted.contains('/') {
            let path = quoted.trim_start_matches("./");
            assert!(root().join(path).exists(), "{quoted} does not exist");
        } else {
            let known = [format!("fn {last}"), format!("struct {last}"), format!("mod {last}")];
            assert!(known.iter().any(|k| all.contains(k)), "{quoted} does not exist");
        }
    }
}

/// Every row of docs/science.md names functions whose documentation names the row, and no documentation names another.
#[test]
fn equations_and_functions_name_each_other() {
    let mut files = Vec::new();
    sources(&root().join("crates"), &mut files);
    let code: Vec<String> =
        files.iter().filter(|p| !p.ends_with("rules.rs")).map(|p| read(p)).collect();
    let named = |last: &str, number: &str| {
        let mark = format!("/// Equation {number} of docs/science.md.");
        let item = |line: &str| {
            ["fn ", "struct "].iter().any(|kind| {
                line.split_once(kind).is_some_and(|(_, rest)| {
                    rest.strip_prefix(last).is_some_and(|after| after.starts_with(['(', '<', ' ']))
                })
            })
        };
        code.iter().any(|text| {
            let mut marked = false;
            text.lines().map(str::trim_start).any(|line| {
                marked |= line == mark;
                let found = marked && item(line);
                // The mark holds until the item that it documents.
                marked &= line.starts_with("///") || line.starts_with("#[") || line == mark;
                found
            })
        })
    };
    let page = read(&root().join("docs/science.md"));
    let mut functions = 0;
    for row in page.lines().filter(|l| l.starts_with("| ") && !l.starts_with("| no.")) {
        let cells: Vec<&str> = row.trim_matches('|').split(" | ").map(str::trim).collect();
        assert_eq!(cells.len(), 6, "{row}");
        for function in cells[4].split('`').skip(1).step_by(2) {
            let last = function.rsplit("::").next().unwrap_or(function);
            assert!(named(last, cells[0]), "{function} does not name equation {}", cells[0]);
            functions += 1;
        }
    }
    let marks: usize = code.iter().map(|t| t.matches("/// Equation ").count()).sum();
    assert_eq!(marks, functions, "documentation names an equation that the page does not give it");
}
