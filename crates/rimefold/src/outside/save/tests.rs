//! The disk refuses at each step in turn, as when it is full: a whole file stays under the name, and nothing beside it.

use std::cell::Cell;
use std::io::{Error, ErrorKind};
use std::path::Path;

use super::{clean, replace, replace_keeping, write_new};
use crate::exit::{Exit, Failure};

thread_local! {
    /// Steps that still go well; `None`: all do.
    static LEFT: Cell<Option<usize>> = const { Cell::new(None) };
}

/// Refuses a step once enough have gone well.
pub fn refuse() -> std::io::Result<()> {
    LEFT.with(|left| match left.get() {
        Some(0) => Err(Error::from(ErrorKind::StorageFull)),
        Some(n) => {
            left.set(Some(n - 1));
            Ok(())
        }
        None => Ok(()),
    })
}

/// Names in a folder, in order.
fn names(folder: &Path) -> Vec<String> {
    let all = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name());
    let mut names: Vec<String> = all.map(|n| n.into_string().unwrap()).collect();
    names.sort();
    names
}

/// Does it with the disk full from each step on, until it goes well; how many steps there were.
fn at_each_step(
    before: &[(&str, &str)],
    write: fn(&Path) -> Result<(), Failure>,
    look: impl Fn(&Path, bool),
) -> usize {
    for steps in 0.. {
        let folder = tempfile::tempdir().unwrap();
        for (name, text) in before {
            std::fs::write(folder.path().join(name), text).unwrap();
        }
        LEFT.set(Some(steps));
        let done = write(&folder.path().join("station.csv"));
        LEFT.set(None);
        if let Err(f) = &done {
            assert_eq!(f.code, Exit::Write, "{}", f.message);
        }
        look(folder.path(), done.is_ok());
        if done.is_ok() {
            return steps;
        }
    }
    0
}

#[test]
fn a_record_is_there_whatever_step_the_disk_refuses() {
    let steps = at_each_step(
        &[("station.csv", "second"), ("station.csv.old", "first")],
        |path| replace_keeping(path, "third"),
        |folder, done| {
            let read = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap();
            let (now, old) = (read("station.csv"), read("station.csv.old"));
            assert_eq!(now, if done { "third" } else { "second" });
            assert!(old == "second" || !done && old == "first", "{now} {old}");
            assert_eq!(names(folder), ["station.csv", "station.csv.old"]);
        },
    );
    assert_eq!(steps, 6);
}

#[test]
fn a_garden_is_as_it_was_or_as_it_is_to_be_whatever_step_the_disk_refuses() {
    let steps = at_each_step(
        &[("station.csv", "old")],
        |path| replace(path, "new"),
        |folder, done| {
            let text = std::fs::read_to_string(folder.join("station.csv")).unwrap();
            assert_eq!(text, if done { "new" } else { "old" });
            assert_eq!(names(folder), ["station.csv"]);
        },
    );
    assert_eq!(steps, 4);
    let steps = at_each_step(
        &[],
        |path| write_new(path, "new"),
        |folder, done| assert_eq!(names(folder).len(), usize::from(done)),
    );
    assert_eq!(steps, 4);
}

#[cfg(unix)]
#[test]
fn a_linked_file_keeps_its_link() {
    let folder = tempfile::tempdir().unwrap();
    let (real, link) = (folder.path().join("real.toml"), folder.path().join("garden.toml"));
    std::fs::write(&real, "old").unwrap();
    std::os::unix::fs::symlink(&real, &link).unwrap();
    replace(&link, "new").unwrap();
    assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(std::fs::read_to_string(&real).unwrap(), "new");
}

#[test]
fn what_a_killed_program_left_is_taken_away_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    // Process numbers end far below this (4,194,304 on Linux, proc(5)).
    let kept = ["garden.toml", "a.part", "notes.x.part"];
    let left = ["garden.toml.4294967295.part", "station.csv.old.4294967294.part"];
    for name in kept.iter().chain(&left) {
        std::fs::write(folder.path().join(name), "").unwrap();
    }
    clean(folder.path());
    let mut kept = kept.to_vec();
    kept.sort_unstable();
    assert_eq!(names(folder.path()), kept);
}
