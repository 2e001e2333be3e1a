//! A disk that refuses the Nth thing it is asked, and memory that ends at the Nth, for every N in turn: told in words, and
//! nothing that was kept is lost. In the manner of SQLite's own anomaly tests (<https://sqlite.org/testing.html>).
//!
//! `checks/disk/refuse.c` stands between the program and the C library. Linux with a C compiler; elsewhere nothing is
//! checked here.

use std::path::PathBuf;
use std::process::Command;

use super::{Garden, id, integrity};
use crate::harness::root;

/// The shim, compiled once a test; `None` where there is no C compiler.
fn shim(folder: &std::path::Path) -> Option<PathBuf> {
    let out = folder.join("refuse.so");
    let from = root().join("checks/disk/refuse.c");
    let mut command = Command::new("cc");
    command.args(["-shared", "-fPIC", "-O1", "-o"]).arg(&out).arg(from).arg("-ldl");
    let made = command.status().is_ok_and(|s| s.success());
    made.then_some(out)
}

/// Ids of the notes in the diary, by SQLite itself.
fn notes(garden: &Garden) -> Vec<String> {
    crate::pages::notes(&garden.database())
}

/// Does something again and again, each time refused a stride later, until it is not refused any more. Returns how many
/// steps there were.
fn at_each_step(
    garden: &Garden,
    env: &[(&str, &str)],
    counter: &str,
    args: &[&str],
    stride: usize,
    look: impl Fn(u32, Option<i32>, &str, &str),
) -> u32 {
    let Some(shim) = shim(&garden.path) else { return 0 };
    let mut well_in_a_row = 0;
    for n in (0..20_000).step_by(stride) {
        let mut command = Command::new(env!("CARGO_BIN_EXE_rimefold"));
        command.args(args).env("LD_PRELOAD", &shim).env(counter, n.to_string());
        let done = command.envs(env.iter().copied()).output().expect("it runs");
        let text = |b: &[u8]| String::from_utf8_lossy(b).into_owned();
        look(n, done.status.code(), &text(&done.stdout), &text(&done.stderr));
        // Refusals that do not matter (a file that cannot be taken away) look like success; after many there are no more.
        well_in_a_row = if done.status.success() { well_in_a_row + 1 } else { 0 };
        if well_in_a_row > 25 {
            return n;
        }
    }
    20_000
}

#[test]
fn a_note_on_a_disk_that_refuses_any_step_is_kept_or_told() {
    for (env, name) in [
        (&[][..], "an error once"),
        (&[("REFUSE_ON", "1"), ("REFUSE_FULL", "1")][..], "full from then on"),
    ] {
        let garden = Garden::new("jura");
        let folder = garden.path.display().to_string();
        let mut kept = vec![garden.noted(&["voles", "leeks"])];
        let args = ["note", "--garden", &folder, "voles", "leeks"];
        let acknowledged = std::cell::RefCell::new(Vec::new());
        let (steps, refused) = (
            at_each_step(&garden, env, "REFUSE_AT", &args, 1, |n, code, out, err| {
                assert!(matches!(code, Some(0 | 8 | 10)), "{name}, step {n}: {code:?} {err}");
                assert!(!err.contains("bug"), "{name}, step {n}: {err}");
                if code == Some(0) {
                    acknowledged.borrow_mut().push(id(out).expect("an id"));
                } else {
                    assert!(!err.trim().is_empty() && out.is_empty(), "{name}, step {n}: {out}");
                }
            }),
            name,
        );
        kept.extend(acknowledged.into_inner());
        let there = notes(&garden);
        for id in &kept {
            assert!(
                there.iter().any(|t| t.starts_with(id)),
                "{refused}: {id} was acknowledged and is gone"
            );
        }
        assert_eq!(integrity(&garden.database()), "ok");
        println!("{name}: {steps} steps, {} acknowledged, {} there", kept.len(), there.len());
    }
}

#[test]
fn a_note_with_memory_at_its_end_loses_nothing() {
    let garden = Garden::new("jura");
    let folder = garden.path.display().to_string();
    let mut kept = vec![garden.noted(&["voles", "leeks"])];
    let acknowledged = std::cell::RefCell::new(Vec::new());
    let args = ["note", "--garden", &folder, "voles", "leeks"];
    let stride = if std::env::var_os("RIMEFOLD_LONG").is_some() { 1 } else { 11 };
    let steps =
        at_each_step(&garden, &[], "REFUSE_MEMORY_AT", &args, stride, |n, code, out, err| {
            // Where SQLite is refused it says so; where the program itself is, it can only end, and where the table of
            // time zones is, it is taken for a wrong zone.
            assert!(matches!(code, None | Some(0 | 3 | 8 | 10)), "step {n}: {code:?} {err}");
            if code == Some(0) {
                acknowledged.borrow_mut().push(id(out).expect("an id"));
            }
        });
    kept.extend(acknowledged.into_inner());
    let there = notes(&garden);
    for id in &kept {
        assert!(there.iter().any(|t| t.starts_with(id)), "{id} was acknowledged and is gone");
    }
    assert_eq!(integrity(&garden.database()), "ok");
    println!("memory: {steps} steps, {} acknowledged, {} there", kept.len(), there.len());
}

#[test]
fn a_restore_on_a_disk_that_refuses_any_step_leaves_the_diary_whole() {
    let garden = Garden::new("jura");
    garden.noted(&["voles", "leeks"]);
    let backup = garden.file("backup.sqlite");
    assert_eq!(garden.diary(&["backup", &backup]).code, 0);
    garden.noted(&["voles", "salads"]);
    let later = std::fs::read(garden.database()).expect("there");
    let folder = garden.path.display().to_string();
    let args = ["diary", "--garden", &folder, "restore", &backup, "--replace"];
    let steps = at_each_step(&garden, &[], "REFUSE_AT", &args, 1, |n, code, _, err| {
        assert!(matches!(code, Some(0 | 8 | 10)), "step {n}: {code:?} {err}");
        assert!(!err.contains("bug"), "step {n}: {err}");
        assert_eq!(integrity(&garden.database()), "ok", "step {n}: {err}");
        let count = notes(&garden).len();
        assert!(count == 1 || code != Some(0) && count == 2, "step {n}: {code:?} {count}");
        for entry in std::fs::read_dir(&garden.path).expect("a folder").filter_map(Result::ok) {
            let name = entry.file_name().display().to_string();
            if name.starts_with("diary.before-restore") {
                std::fs::remove_file(entry.path()).expect("removed");
            }
        }
        for end in ["-wal", "-shm", "-journal"] {
            let _ = std::fs::remove_file(garden.path.join(format!("diary.sqlite{end}")));
        }
        std::fs::write(garden.database(), &later).expect("as it was");
    });
    println!("restore: {steps} steps");
}
