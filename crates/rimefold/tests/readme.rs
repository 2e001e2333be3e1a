//! The README shows what the program really prints. `RIMEFOLD_REWRITE=1` brings it up to date.

use crate::harness::{rimefold, root};

/// Every block under `<!-- output: rimefold ARGS -->` is what the program prints.
#[test]
fn the_readme_shows_the_real_output() {
    const MARKER: &str = "<!-- output: rimefold ";
    let path = root().join("README.md");
    let readme = std::fs::read_to_string(&path).expect("a README");
    let mut parts = readme.split(MARKER);
    let mut renewed = parts.next().unwrap_or_default().to_owned();
    let mut asked = Vec::new();
    for part in parts {
        let (args, rest) = part.split_once(" -->\n```text\n").expect("a block");
        let (_, after) = rest.split_once("```").expect("the end of the block");
        let real = rimefold(&args.split(' ').collect::<Vec<_>>()).code(0).out;
        renewed += &format!("{MARKER}{args} -->\n```text\n{real}```{after}");
        asked.push(args);
    }
    assert_eq!(asked, ["demo", "week demo/wisconsin --at 2027-05-14T16:00"]);
    if std::env::var("RIMEFOLD_REWRITE").is_ok() {
        std::fs::write(&path, renewed).expect("written");
        return;
    }
    assert_eq!(readme, renewed, "run with RIMEFOLD_REWRITE=1 and read the change");
}

#[test]
fn the_readme_names_commands_that_exist() {
    let readme = std::fs::read_to_string(root().join("README.md")).expect("a README");
    let help = rimefold(&["--help"]).out;
    for verb in [
        "tonight", "week", "check", "new", "demo", "hoops", "cut", "kit", "station", "replay",
        "year", "note", "learn", "sensor", "diary", "watch",
    ] {
        assert!(readme.contains(&format!("rimefold {verb}")) && help.contains(verb), "{verb}");
    }
    assert!(readme.lines().take(4).any(|l| l.contains("grow")), "the job comes first");
    for link in readme.split("](").skip(1).filter_map(|s| s.split(')').next()) {
        assert!(root().join(link).exists(), "{link}");
    }
}

/// Every command of the README that works on a demonstration garden does so.
#[test]
fn the_readme_commands_run() {
    let readme = std::fs::read_to_string(root().join("README.md")).expect("a README");
    let folder = tempfile::tempdir().expect("a folder");
    let drawing = folder.path().join("tunnel.svg").display().to_string();
    let mut ran = 0;
    for line in readme.lines().filter(|l| l.starts_with("rimefold ") && l.contains("demo/")) {
        let command = line.split('#').next().unwrap_or(line).replace("tunnel.svg", &drawing);
        let args: Vec<&str> = command.split_whitespace().skip(1).collect();
        let run = rimefold(&args);
        assert_eq!(run.code, 0, "{line}: {}", run.err);
        ran += 1;
    }
    assert!(ran >= 4, "{ran}");
}
