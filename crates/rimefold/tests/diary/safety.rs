//! Two writers, a killed one, a full disk, a folder that cannot be written, backups.

use std::collections::BTreeSet;
use std::process::{Command, Stdio};
use std::time::Duration;

use super::{Garden, id, integrity};

fn command(garden: &Garden, args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_rimefold"));
    command.args(["note", "--garden"]).arg(&garden.path).args(args);
    command
}

#[test]
fn two_who_write_at_once_both_succeed() {
    let garden = Garden::new("jura");
    let writer = |bed: &'static str| {
        let ids = (0..30).map(|_| {
            let done = command(&garden, &["voles", bed]).output().expect("it runs");
            assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
            id(&String::from_utf8_lossy(&done.stdout)).expect("an id")
        });
        ids.collect::<Vec<_>>()
    };
    // Both begin with no diary there, so that both make it at once.
    let all: BTreeSet<String> = std::thread::scope(|s| {
        let one = s.spawn(|| writer("leeks"));
        let two = s.spawn(|| writer("salads"));
        one.join().expect("one").into_iter().chain(two.join().expect("two")).collect()
    });
    assert_eq!(all.len(), 60);
    assert_eq!(garden.list().len(), 60);
    assert_eq!(integrity(&garden.database()), "ok");
}

#[test]
fn a_writer_waits_for_another_and_says_so_when_it_waits_in_vain() {
    let garden = Garden::new("jura");
    garden.noted(&["voles", "leeks"]);
    let other = rusqlite::Connection::open(garden.database()).expect("it opens");
    for (held_s, code) in [(1, 0), (7, 10)] {
        other.execute_batch("BEGIN IMMEDIATE").expect("held");
        let waiting = command(&garden, &["voles", "leeks"])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it runs");
        std::thread::sleep(Duration::from_secs(held_s));
        other.execute_batch("COMMIT").expect("let go");
        let done = waiting.wait_with_output().expect("it ends");
        let err = String::from_utf8_lossy(&done.stderr);
        assert_eq!(done.status.code(), Some(code), "{err}");
        assert_eq!(err.contains("another program is using it"), code == 10, "{err}");
    }
    assert_eq!(garden.list().len(), 2);
}

#[test]
fn what_was_acknowledged_survives_a_kill_in_the_middle_of_writing() {
    let garden = Garden::new("jura");
    let mut acknowledged = vec![garden.noted(&["voles", "leeks"])];
    let mut killed = 0;
    for n in 0..200_u64 {
        let mut child = command(&garden, &["voles", "leeks"])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("it runs");
        // From at once to longer than a note takes; the last ones are left alone.
        if n < 190 {
            std::thread::sleep(Duration::from_micros(n * 397 % 30_000));
            let _ = child.kill();
        }
        let done = child.wait_with_output().expect("it ends");
        killed += usize::from(done.status.code().is_none());
        acknowledged.extend(id(&String::from_utf8_lossy(&done.stdout)));
    }
    assert!(killed > 0, "nothing was killed");
    assert!(acknowledged.len() > 10, "{}", acknowledged.len());
    let there: BTreeSet<String> = garden
        .list()
        .iter()
        .filter_map(|n| n["id"].as_str()?.get(..8).map(str::to_owned))
        .collect();
    for id in &acknowledged {
        assert!(there.contains(id), "{id} was acknowledged and is gone");
    }
    assert_eq!(integrity(&garden.database()), "ok");
}

/// A file that may not grow stands for a full disk: the same write fails.
#[cfg(unix)]
#[test]
fn a_full_disk_is_told_and_nothing_that_was_kept_is_lost() {
    let garden = Garden::new("jura");
    for _ in 0..5 {
        garden.noted(&["voles", "leeks"]);
    }
    let before = garden.list();
    for kilobytes in [1, 4, 8] {
        // The signal that comes with it is ignored, so that the write itself fails, as on a full disk.
        let script = format!("trap '' XFSZ; ulimit -f {kilobytes}; exec \"$0\" \"$@\"");
        let done = Command::new("bash")
            .args(["-c", &script, env!("CARGO_BIN_EXE_rimefold"), "note", "--garden"])
            .arg(&garden.path)
            .args(["voles", "leeks"])
            .output()
            .expect("bash runs");
        let err = String::from_utf8_lossy(&done.stderr);
        assert_eq!(done.status.code(), Some(10), "{kilobytes} kB: {err}");
        assert!(
            err.contains("cannot write") && err.contains("what was kept before is safe"),
            "{err}"
        );
        assert!(done.stdout.is_empty(), "nothing was acknowledged");
        assert_eq!(garden.list(), before);
    }
    assert_eq!(integrity(&garden.database()), "ok");
    garden.noted(&["voles", "leeks"]);
    assert_eq!(garden.list().len(), 6);
}

/// Makes a folder one that cannot be written, for root too where the file system knows how; opens it again when dropped.
#[cfg(unix)]
pub struct Closed<'a>(&'a std::path::Path);

#[cfg(unix)]
impl<'a> Closed<'a> {
    /// `None` where neither way keeps this user out.
    pub fn close(folder: &'a std::path::Path) -> Option<Self> {
        let run = |name: &str, how: &str| Command::new(name).arg(how).arg(folder).output();
        let _ = run("chmod", "555");
        let _ = run("chattr", "+i");
        let closed = Self(folder);
        std::fs::write(folder.join("probe"), "").is_err().then_some(closed)
    }
}

#[cfg(unix)]
impl Drop for Closed<'_> {
    fn drop(&mut self) {
        let _ = Command::new("chattr").arg("-i").arg(self.0).output();
        let _ = Command::new("chmod").arg("755").arg(self.0).output();
    }
}

#[cfg(unix)]
#[test]
fn a_folder_that_cannot_be_written_is_told_and_can_still_be_read() {
    let garden = Garden::new("jura");
    // Where the diary's place is taken by a folder, nobody can write it.
    std::fs::create_dir(garden.database()).expect("made");
    let run = garden.note(&["voles", "leeks"]);
    assert!(run.code == 10 && run.err.contains("cannot be written"), "{} {}", run.code, run.err);
    std::fs::remove_dir(garden.database()).expect("removed");

    if let Some(_closed) = Closed::close(&garden.path) {
        let run = garden.note(&["voles", "leeks"]);
        assert!(
            run.code == 10 && run.err.contains("cannot be written"),
            "{} {}",
            run.code,
            run.err
        );
    }
    garden.noted(&["voles", "leeks"]);
    let folder = garden.path.display().to_string();
    if let Some(_closed) = Closed::close(&garden.path) {
        assert_eq!(garden.list().len(), 1, "what is there can be read");
        // The evening's answer is worth more than its record.
        let run = crate::harness::rimefold(&["tonight", &folder, "--at", "2027-05-14T16:00"]);
        assert_eq!(run.code, 0, "{}", run.err);
    }
    assert_eq!(garden.list().len(), 1);
}

#[test]
fn a_backup_is_one_whole_file_and_comes_back() {
    let garden = Garden::new("jura");
    garden.noted(&["reading", "--min", "-2"]);
    // Another program has it open with something not yet moved into the main file.
    let open = rusqlite::Connection::open(garden.database()).expect("it opens");
    open.pragma_update(None, "journal_mode", "WAL").expect("as our own programs have it");
    let _: u32 = open.query_row("SELECT count(*) FROM entry", [], |r| r.get(0)).expect("read");
    garden.noted(&["voles", "leeks"]);
    let backup = garden.file("copies/monday.sqlite");
    let run = garden.diary(&["backup", &backup]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert_eq!(integrity(backup.as_ref()), "ok");
    let beside = std::fs::read_dir(garden.path.join("copies")).expect("a folder").count();
    assert_eq!(beside, 1, "one file by itself");
    assert_eq!(garden.diary(&["backup", &backup]).code, 10, "never over an old one");
    let kept = garden.list();

    garden.noted(&["vented", "leeks"]);
    let refused = garden.diary(&["restore", &backup]);
    assert!(refused.code == 10 && refused.err.contains("--replace"), "{}", refused.err);
    let in_use = garden.diary(&["restore", &backup, "--replace"]);
    assert!(in_use.code == 10 && in_use.err.contains("stop it"), "{} {}", in_use.code, in_use.err);
    assert_eq!(garden.list().len(), 3);
    drop(open);

    let run = garden.diary(&["restore", &backup, "--replace"]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert_eq!(garden.list(), kept);
    let old = run.out.split("is kept as ").nth(1).expect("a name").trim().trim_end_matches('.');
    assert_eq!(integrity(old.as_ref()), "ok");
    let db = rusqlite::Connection::open(old).expect("it opens");
    let notes: u32 = db.query_row("SELECT count(*) FROM entry", [], |r| r.get(0)).expect("read");
    assert_eq!(notes, 3, "the one that was replaced keeps everything");

    let new = Garden::new("jura");
    assert_eq!(new.diary(&["restore", &backup]).code, 0);
    assert_eq!(new.list(), kept);
    new.noted(&["voles", "leeks"]);
}

#[test]
fn a_bad_backup_is_not_brought_back() {
    let garden = Garden::new("jura");
    garden.noted(&["voles", "leeks"]);
    let good = garden.file("good.sqlite");
    assert_eq!(garden.diary(&["backup", &good]).code, 0);
    let bytes = std::fs::read(&good).expect("there");
    // The pages after the first, overwritten: SQLite's check must see it.
    let mut damaged = bytes.clone();
    damaged[8192..].fill(0xA5);
    let text =
        garden.write("text.sqlite", "these are no pages of a database, only words".repeat(99));
    let damaged = garden.write("damaged.sqlite", damaged);
    let empty = garden.write("empty.sqlite", "");
    for (file, code) in [(&text, 8), (&damaged, 8), (&empty, 8), (&garden.file("none.sqlite"), 5)] {
        let run = garden.diary(&["restore", file, "--replace"]);
        assert_eq!(run.code, code, "{file}: {}", run.err);
        assert_eq!(garden.list().len(), 1);
    }
}
