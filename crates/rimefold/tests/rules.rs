//! The rules of the code, asserted.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use crate::harness::root;

const EDGES: [(&str, &[&str]); 14] = [
    ("quantities", &[]),
    ("milp", &[]),
    ("learning", &[]),
    ("sensors", &["quantities"]),
    ("diary", &["quantities", "sensors"]),
    ("weather", &["quantities"]),
    ("garden", &["quantities", "structure"]),
    ("microclimate", &["quantities"]),
    ("structure", &[]),
    (
        "evening",
        &["garden", "learning", "microclimate", "milp", "quantities", "structure", "weather"],
    ),
    ("watch", &["diary", "evening", "garden", "quantities"]),
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
        &[
            "diary",
            "evening",
            "garden",
            "history",
            "learning",
            "milp",
            "purchase",
            "quantities",
            "sensors",
            "structure",
            "watch",
            "weather",
        ],
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
        assert!(!dependencies.contains_key("measured_data"), "{room} needs data for tests to run");
        let rooms: BTreeSet<&str> = EDGES.iter().map(|e| e.0).collect();
        let got: BTreeSet<&str> =
            dependencies.keys().map(String::as_str).filter(|k| rooms.contains(k)).collect();
        assert_eq!(got, allowed.iter().copied().collect(), "{room}");
        // One room keeps the database.
        for sqlite in ["rusqlite", "uuid"] {
            assert_eq!(dependencies.contains_key(sqlite), room == "diary", "{room} and {sqlite}");
        }
        if room != "rimefold" {
            for heavy in ["anyhow", "tokio", "ureq", "axum", "clap", "rand_core", "getrandom"] {
                assert!(!dependencies.contains_key(heavy), "{room} has {heavy}");
            }
            let json = ["weather", "diary", "sensors", "watch"].contains(&room);
            assert_eq!(dependencies.contains_key("serde_json"), json, "{room}");
        }
    }
}

/// `./check` builds the tests beside the release: without these lines a crate would be tested without its assertions.
#[test]
fn every_crate_is_tested_with_assertions() {
    let config: toml::Table = read(&root().join("checks/tests.toml")).parse().expect("a table");
    let crates = config["profile"]["release"]["package"].as_table().expect("crates");
    let named: BTreeSet<&str> = crates.keys().map(String::as_str).collect();
    assert_eq!(named, EDGES.iter().map(|e| e.0).collect());
    for (name, profile) in crates {
        for on in ["debug-assertions", "overflow-checks"] {
            assert_eq!(profile.get(on), Some(&toml::Value::Boolean(true)), "{name}: {on}");
        }
    }
}

/// What each module of the program may name of its siblings; what nobody lists is its own.
const INSIDE: [(&str, &[&str]); 6] = [
    (
        "answers",
        &["answers", "columns", "diary", "exit", "format", "machines", "outside", "paragraphs"],
    ),
    ("cli", &["answers", "cli", "diary", "exit", "format", "machines", "outside", "paragraphs"]),
    ("machines", &["diary", "digest", "exit", "format", "machines", "outside"]),
    ("pages", &["answers", "diary", "digest", "exit", "format", "machines", "outside", "pages"]),
    ("outside", &["exit", "outside"]),
    ("format.rs", &[]),
];

/// The files that start the pages.
const STARTS_PAGES: [&str; 3] = ["cli/serve.rs", "cli/demo.rs", "cli/watch.rs"];

/// Answers call no face, faces call answers and not each other, the outside calls none of ours.
/// No crate of `Cargo.lock` is older than the version that closed a published hole (checks/advisories.txt, from memory).
#[test]
fn no_locked_crate_has_a_hole_listed_here() {
    let numbers = |version: &str| -> Vec<u64> {
        let plain = version.split(['-', '+']).next().unwrap_or_default();
        plain.split('.').map(|n| n.parse().expect("a number")).collect()
    };
    let lock: toml::Table = read(&root().join("Cargo.lock")).parse().expect("a lock file");
    let word = |package: &toml::Value, key: &str| {
        package.get(key).and_then(toml::Value::as_str).expect("every package has it").to_owned()
    };
    let packages = lock["package"].as_array().expect("packages");
    let list = read(&root().join("checks/advisories.txt"));
    let (mut asked, mut open) = (0, Vec::new());
    for line in list.lines().filter(|l| !l.starts_with('#')) {
        let [id, name, closed] = line.split(' ').collect::<Vec<_>>()[..] else { panic!("{line}") };
        for package in packages.iter().filter(|p| word(p, "name") == name) {
            asked += 1;
            let version = word(package, "version");
            if numbers(&version) < numbers(closed) {
                open.push(format!("{id}: {name} {version}, closed in {closed}"));
            }
        }
    }
    assert!(open.is_empty() && asked >= 20, "{asked} asked; {open:#?}");
}

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
        // `measured_data` is no part of the program: only tests use it.
        let outside = ["/rimefold/src/outside/", "/measured_data/"];
        if !shown.contains("/src/") || outside.iter().any(|o| shown.contains(o)) {
            continue;
        }
        let text = read(&path);
        // The diary owns its file: it makes a folder for it, gives a finished copy its name, sets a damaged one aside and
        // saves what can be read of it. Its clock and its chance are passed in.
        let may: &[&str] = if shown.contains("/diary/src/database.rs") {
            &["std::fs::create_dir_all", "std::fs::metadata"]
        } else if shown.contains("/diary/src/backup.rs") {
            &["std::fs::hard_link"]
        } else if shown.contains("/diary/src/restore.rs") {
            &["std::fs::metadata", "std::fs::rename", "std::fs::write", "std::fs::File"]
        } else if shown.contains("/diary/src/rescue.rs") {
            &["std::fs::copy"]
        } else {
            &[]
        };
        let text = may.iter().fold(text, |text, word| text.replace(word, ""));
        if shown.contains("/diary/src/") {
            for word in ["Zoned::now", "ZonedDateTime::now", "new_v4", "now_v7", "rand::"] {
                assert!(!text.contains(word), "{shown} has {word}");
            }
        }
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

/// Names of the public constants of a source file, and of the fields of its public structures as `Structure::field`.
fn public_numbers(text: &str) -> BTreeSet<String> {
    let mut out = BTreeSet::new();
    let mut inside: Option<&str> = None;
    let name = |rest: &str| {
        rest.split(|c: char| !c.is_alphanumeric() && c != '_').next().unwrap_or_default().to_owned()
    };
    for line in text.lines() {
        if let Some(rest) = line.strip_prefix("pub const ").filter(|r| !r.starts_with("fn ")) {
            out.insert(name(rest));
        } else if let Some(rest) = line.strip_prefix("pub struct ") {
            inside = rest.split(['<', ' ', '(']).next();
        } else if line.starts_with('}') {
            inside = None;
        } else if let (Some(structure), Some(rest)) = (inside, line.strip_prefix("    pub ")) {
            out.insert(format!("{structure}::{}", name(rest)));
        }
    }
    out
}

/// Every name of docs/nomenclature.md is defined in the file that its row gives, and every public number that the physics
/// of a bed takes, keeps or gives stands in it.
#[test]
fn the_nomenclature_names_the_code() {
    let page = read(&root().join("docs/nomenclature.md"));
    let mut listed: BTreeSet<(String, String)> = BTreeSet::new();
    for row in page.lines().filter(|l| l.starts_with("| ") && !l.starts_with("| symbol")) {
        let cells: Vec<&str> = row.trim_matches('|').split(" | ").map(str::trim).collect();
        assert_eq!(cells.len(), 5, "{row}");
        assert!(cells.iter().all(|c| !c.is_empty()), "{row}");
        let place = cells[4].trim_matches('`');
        let text = read(&root().join(place));
        for quoted in cells[1].split('`').skip(1).step_by(2) {
            let last = quoted.rsplit("::").next().unwrap_or(quoted);
            let forms = [
                format!("const {last}:"),
                format!("fn {last}("),
                format!("fn {last}<"),
                format!("struct {last} "),
                format!("struct {last}<"),
                format!("pub {last}:"),
                format!(" {last}: f64"),
                format!("({last}: f64"),
            ];
            let defined = forms.iter().any(|f| text.contains(f));
            assert!(defined, "{quoted} is not in {place}");
            listed.insert((place.to_owned(), quoted.to_owned()));
        }
    }
    for file in
        ["bed", "cover", "forcing", "draws", "conductances", "constants", "parameters", "state"]
    {
        let place = format!("crates/microclimate/src/{file}.rs");
        let numbers = public_numbers(&read(&root().join(&place)));
        assert!(!numbers.is_empty(), "{place} has no public numbers");
        for number in numbers {
            // Structures that only gather others, and what a step seeks, have no symbols of their own.
            let own = ["Bed::ground", "Bed::canopy"].contains(&number.as_str())
                || ["Nodes::", "NodeTemperatures::"].iter().any(|s| number.starts_with(s));
            assert!(own || listed.contains(&(place.clone(), number.clone())), "{place}: {number}");
        }
    }
}

/// Every path that the maps name is there.
#[test]
fn the_maps_name_files_that_exist() {
    for map in ["ARCHITECTURE.md", "CONTRIBUTING.md", "README.md"] {
        let text = read(&root().join(map));
        let mut paths = 0;
        for quoted in text.split('`').skip(1).step_by(2) {
            let path = quoted.trim_end_matches("/<verb>/");
            let ours = ["crates/", "docs/", "checks/", "bench/", "demo/"];
            if ours.iter().any(|f| path.starts_with(f)) && !path.contains([' ', '*']) {
                assert!(root().join(path).exists(), "{map} names {quoted}");
                paths += 1;
            }
        }
        assert!(map == "README.md" || paths > 3, "{map} names no paths");
    }
}
