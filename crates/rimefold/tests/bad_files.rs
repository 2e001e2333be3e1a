//! Files that are too large, too deep, no files at all, or made to keep a program busy: told at once, in little memory.

use std::process::Command;

use crate::diary::Garden;
use crate::harness::Run;

/// Runs with no more than so much memory, MB, and no more than two seconds of work.
#[cfg(unix)]
fn limited(garden: &Garden, megabytes: u32, args: &[&str]) -> Run {
    // Seconds of work, not of waiting: others may be busy on this machine.
    let script =
        format!("ulimit -v {}; ulimit -t 2; exec timeout 60 \"$0\" \"$@\"", megabytes * 1024);
    let done = Command::new("bash")
        .args(["-c", &script, env!("CARGO_BIN_EXE_rimefold")])
        .args(args)
        .current_dir(&garden.path)
        .output()
        .expect("bash runs");
    let text = |b: &[u8]| String::from_utf8_lossy(b).into_owned();
    Run::new(args, done.status.code().unwrap_or(-1), text(&done.stdout), text(&done.stderr))
}

/// Told with this exit code, in no more than a screen or two.
#[cfg(unix)]
fn told(garden: &Garden, args: &[&str], code: i32) -> String {
    let run = limited(garden, 700, args);
    assert_eq!(run.code, code, "{args:?}: {}", &run.err[..run.err.len().min(2000)]);
    assert!(run.err.len() < 30_000, "{args:?}: {} bytes of message", run.err.len());
    run.err
}

#[cfg(unix)]
#[test]
fn json_of_small_things_takes_little_memory_and_no_time() {
    let garden = Garden::new("jura");
    for (what, text) in [
        ("31 MB of small objects", "[".to_owned() + &"{},".repeat(10_000_000) + "{}]"),
        (
            "a forecast of 9 MB of small objects",
            format!("{{\"hourly\":[{}0]}}", "{},".repeat(3_000_000)),
        ),
        ("9 MB of lists in lists", format!("{{\"hourly\":{}", "[".repeat(9_000_000))),
        ("9 MB of members", format!("{{\"hourly\":{{{}\"z\":0}}}}", "\"a\":0,".repeat(1_400_000))),
        ("9 MB of one text", format!("{{\"hourly\":\"{}\"}}", "x".repeat(9_000_000))),
        ("9 MB of one key", format!("{{\"{}\":0}}", "x".repeat(9_000_000))),
        ("a CSV cell of 9 MB", format!("time,{}\n", "x".repeat(9_000_000))),
        ("a CSV time of 9 MB", format!("time,air_temperature_c\n{},1\n", "x".repeat(9_000_000))),
        ("9 MB of columns", format!("time{}\n", ",a".repeat(4_500_000))),
        ("9 MB of rows", format!("time,air_temperature_c\n{}", "x,y\n".repeat(2_200_000))),
    ] {
        garden.write("bad.json", text);
        let err = told(
            &garden,
            &["tonight", "--forecast", "bad.json"],
            if what.contains("31") { 5 } else { 4 },
        );
        assert!(!err.contains("bug"), "{what}: {err}");
    }
}

#[cfg(unix)]
#[test]
fn what_is_no_file_is_told() {
    let garden = Garden::new("jura");
    let fifo = garden.file("pipe");
    assert!(Command::new("mkfifo").arg(&fifo).status().expect("mkfifo runs").success());
    for (file, words) in [
        ("/dev/zero", "no ordinary file"),
        ("pipe", "no ordinary file"),
        (".", "is a folder"),
        ("none.json", "cannot open"),
    ] {
        let err = told(&garden, &["tonight", "--forecast", file], 5);
        assert!(err.contains(words), "{file}: {err}");
    }
    std::fs::remove_file(garden.path.join("garden.toml")).expect("removed");
    std::fs::rename(&fifo, garden.path.join("garden.toml")).expect("moved");
    let err = told(&garden, &["check"], 5);
    assert!(err.contains("no ordinary file"), "{err}");
}

#[cfg(unix)]
#[test]
fn a_garden_of_endless_repetition_is_told_in_a_second() {
    let garden = Garden::new("jura");
    let good = std::fs::read_to_string(garden.path.join("garden.toml")).expect("there");
    for (what, text, code) in [
        ("6 MB of beds", "[[bed]]\n".repeat(800_000), 5),
        ("250 kB of beds", "[[bed]]\n".repeat(32_000), 3),
        ("250 kB of beds in a good garden", good.clone() + &"[[bed]]\n".repeat(31_000), 3),
        ("250 kB of one table", "[place]\n".repeat(32_000), 3),
        ("250 kB of strange keys", (0..25_000).map(|n| format!("k{n}=1\n")).collect(), 3),
        ("250 kB of one key", format!("{} = 1", "x".repeat(250_000)), 3),
        ("250 kB of one name", good.replace("Plateau garden", &"x".repeat(250_000)), 3),
        ("250 kB of brackets", format!("a = {}", "[".repeat(250_000)), 3),
        ("250 kB of brackets, one a line", format!("a = {}", "[\n".repeat(120_000)), 3),
        ("250 kB of dots", format!("a{} = 1", ".a".repeat(120_000)), 3),
    ] {
        garden.write("garden.toml", text);
        let err = told(&garden, &["check"], code);
        assert!(!err.contains("bug") && !err.is_empty(), "{what}: {err}");
    }
    for (sign, words) in [("\\u0007", "U+0007"), ("\\n", "more than one line"), ("\\t", "a tab")] {
        garden
            .write("garden.toml", good.replace("Plateau garden", &format!("Plateau{sign}garden")));
        let err = told(&garden, &["check"], 3);
        assert!(err.contains(words), "{sign}: {err}");
        assert!(!err.contains("too long"), "{err}");
    }
}

#[cfg(unix)]
#[test]
fn a_linked_garden_keeps_its_link_and_leftovers_go_at_the_start() {
    let garden = Garden::new("jura");
    let real = garden.path.join("real.toml");
    std::fs::rename(garden.path.join("garden.toml"), &real).expect("moved");
    std::os::unix::fs::symlink("real.toml", garden.path.join("garden.toml")).expect("linked");
    garden.write("garden.toml.4294967295.part", "half a garden");
    let site = crate::pages::Site::of(garden, &["--at", crate::pages::AFTERNOON]);
    site.ready();
    assert!(!site.garden.path.join("garden.toml.4294967295.part").exists());
    assert_eq!(site.submit("/stock", &[("stock.pins", Some("59"))]).status, 303);
    let link = std::fs::symlink_metadata(site.garden.path.join("garden.toml")).expect("there");
    assert!(link.is_symlink());
    assert!(std::fs::read_to_string(real).expect("there").contains("pins = 59"));
}

/// Places by the atlas: Madison 43° N 89° W, Kashgar 39.5° N 76° E, Hobart 43° S 147° E, Suva 18° S 178° E.
#[test]
fn a_turned_sign_of_the_place_is_asked_about() {
    let garden = Garden::new("jura");
    let good = std::fs::read_to_string(garden.path.join("garden.toml")).expect("there");
    let place = |latitude: f64, longitude: f64, zone: &str| {
        let line = |l: &str| {
            if l.starts_with("latitude") {
                format!("latitude = {latitude:?}")
            } else if l.starts_with("longitude") {
                format!("longitude = {longitude:?}")
            } else {
                l.replace("Europe/Paris", zone)
            }
        };
        let text: Vec<String> = good.lines().map(line).collect();
        garden.write("garden.toml", text.join("\n"));
        let run = crate::harness::rimefold(&["check", &garden.path.display().to_string()]);
        assert_eq!(run.code, 0, "{}", run.err);
        run.out + &run.err
    };
    for (latitude, longitude, zone, words) in [
        (43.0, 89.0, "America/Chicago", Some("longitude 89 is 12 hours off")),
        (-43.0, -89.0, "America/Chicago", Some("latitude -43 is not north")),
        (43.0, 147.0, "Australia/Hobart", Some("latitude 43 is not south")),
        (43.0, -89.0, "America/Chicago", None),
        (39.5, 76.0, "Asia/Shanghai", None),
        (-43.0, 147.0, "Australia/Hobart", None),
        (-18.0, 178.0, "Pacific/Fiji", None),
        (-18.0, -179.0, "Pacific/Fiji", None),
        (53.0, -6.0, "Europe/Dublin", None),
        (43.0, -89.0, "Europe/Paris", Some("hours off the clock of Europe/Paris")),
    ] {
        let told = place(latitude, longitude, zone);
        match words {
            Some(words) => assert!(told.contains(words), "{zone}: {told}"),
            None => assert!(
                !told.contains("hours off") && !told.contains("of the equator"),
                "{zone}: {told}"
            ),
        }
    }
}
