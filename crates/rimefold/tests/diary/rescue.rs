//! A damaged diary is brought back from a backup, or from what can be read of it, and is never called our bug.

use std::path::{Path, PathBuf};

use super::{Garden, integrity};

const HEAD: &str = "id,at,written,what,bed,where,sheet,temperature_c,share,plan,task,strikes,note,layers,placement\n";

/// A diary of so many notes, from a list.
fn with_notes(count: usize) -> Garden {
    let garden = Garden::new("jura");
    let rows = (0..count).map(|n| {
        let (day, hour, minute) = (n / 60 % 28 + 1, n / 1680, n % 60);
        format!(
            ",2026-05-{day:02}T{hour:02}:{minute:02}:00Z,,voles,leeks,,,,,,,,note number {n},,\n"
        )
    });
    let file = garden.write("notes.csv", HEAD.to_owned() + &rows.collect::<String>());
    let run = garden.diary(&["import", "--csv", &file]);
    assert_eq!(run.code, 0, "{}", run.err);
    garden
}

/// The file that an answer names after some words.
fn named(out: &str, before: &str) -> PathBuf {
    let rest = out.split(before).nth(1).expect(out);
    PathBuf::from(rest.lines().next().unwrap_or_default().trim_end_matches('.'))
}

/// Ways a file is damaged.
fn damages(good: &[u8]) -> Vec<(&'static str, Vec<u8>)> {
    let mut noise = 88_172_645_463_325_252_u64;
    // Marsaglia's xorshift, so that the bytes are the same each time.
    let mut random = || {
        noise ^= noise << 13;
        noise ^= noise >> 7;
        noise ^= noise << 17;
        noise.to_le_bytes()[3]
    };
    let pages = good.len() / 4096;
    let zeroed = |page: usize| {
        let mut bytes = good.to_vec();
        bytes[page * 4096..(page + 1) * 4096].fill(0);
        bytes
    };
    let mut flipped = good.to_vec();
    for n in (pages / 3 * 4096..pages * 2 / 3 * 4096).step_by(97) {
        flipped[n] ^= 0x55;
    }
    vec![
        ("random bytes", (0..good.len()).map(|_| random()).collect()),
        ("halved", good[..good.len() / 2].to_vec()),
        ("cut inside a page", good[..good.len() - 1000].to_vec()),
        ("first page zeroed", zeroed(0)),
        ("a page in the middle zeroed", zeroed(pages / 2)),
        ("last page zeroed", zeroed(pages - 1)),
        ("flipped", flipped),
    ]
}

#[test]
fn restore_works_when_it_is_needed() {
    let garden = with_notes(400);
    let backup = garden.file("good.sqlite");
    assert_eq!(garden.diary(&["backup", &backup]).code, 0);
    let kept = garden.list();
    let late = garden.noted(&["voles", "leeks", "--remark", "after the backup"]);
    let good = std::fs::read(garden.database()).expect("there");
    let mut rescued = 0;
    for (how, bytes) in damages(&good) {
        std::fs::write(garden.database(), &bytes).expect("written");
        let told = garden.note(&["list"]);
        assert!(told.code == 8 || told.code == 0, "{how}: {} {}", told.code, told.err);
        if told.code == 8 {
            assert!(told.err.contains("restore BACKUP --replace"), "{how}: {}", told.err);
        }
        let run = garden.diary(&["restore", &backup, "--replace"]);
        assert_eq!(run.code, 0, "{how}: {}", run.err);
        assert_eq!(garden.list(), kept, "{how}");
        assert_eq!(integrity(&garden.database()), "ok", "{how}");
        if run.out.contains("The damaged diary") {
            let aside = named(&run.out, "kept as it was as ");
            assert_eq!(std::fs::read(&aside).expect("set aside"), bytes, "{how}");
            std::fs::remove_file(aside).expect("removed");
        } else {
            let old = named(&run.out, "is kept as ");
            std::fs::remove_file(old).expect("removed");
        }
        if let Some(file) = run.out.split("import --json ").nth(1).map(|f| f.trim().to_owned()) {
            let run = garden.diary(&["import", "--json", &file]);
            assert_eq!(run.code, 0, "{how}: {}", run.err);
            let there = garden.list();
            rescued += usize::from(
                there.iter().any(|n| n["id"].as_str().is_some_and(|id| id.starts_with(&late))),
            );
            std::fs::remove_file(file).expect("removed");
        }
        for file in ["diary.sqlite-wal", "diary.sqlite-shm"] {
            let _ = std::fs::remove_file(garden.path.join(file));
        }
    }
    assert!(rescued >= 2, "{rescued}: what came after the backup is saved where it can be read");
}

#[test]
fn a_damaged_diary_without_a_backup_is_begun_anew_with_what_can_be_read() {
    let garden = with_notes(3000);
    let good = std::fs::read(garden.database()).expect("there");
    let sound = garden.diary(&["rescue"]);
    assert!(sound.code == 2 && sound.err.contains("whole"), "{} {}", sound.code, sound.err);
    for (how, bytes) in damages(&good) {
        std::fs::write(garden.database(), &bytes).expect("written");
        let run = garden.diary(&["rescue"]);
        if matches!(how, "random bytes" | "first page zeroed") {
            assert!(run.code == 8 && run.err.contains("nothing can be read"), "{how}: {}", run.err);
            assert_eq!(std::fs::read(garden.database()).expect("there"), bytes, "{how}");
            continue;
        }
        if run.code == 2 {
            continue;
        }
        assert_eq!(run.code, 0, "{how}: {}", run.err);
        assert_eq!(integrity(&garden.database()), "ok", "{how}");
        let left = garden.list().len();
        assert!((500..3000).contains(&left), "{how}: {left}");
        println!("{how}: {left} of 3000 notes");
        std::fs::remove_file(named(&run.out, "kept as it was as ")).expect("removed");
    }
}

#[test]
fn damage_within_sound_pages_is_no_bug_of_ours() {
    let garden = with_notes(3);
    let good = std::fs::read(garden.database()).expect("there");
    for wrong in [
        "UPDATE entry SET kind = 'ghost' WHERE number = 2",
        "UPDATE entry SET id = 'no id' WHERE number = 2",
        "UPDATE sighting SET saw = 'ghosts' WHERE entry = 2",
        "DELETE FROM sighting WHERE entry = 2",
        "DROP TABLE sighting",
    ] {
        std::fs::write(garden.database(), &good).expect("written");
        let db = rusqlite::Connection::open(garden.database()).expect("it opens");
        db.execute_batch(
            "PRAGMA ignore_check_constraints = ON; DROP TRIGGER entry_same; DROP TRIGGER sighting_same; \
             DROP TRIGGER sighting_kept; DROP TRIGGER entry_kept;",
        )
        .expect("open to damage");
        db.execute_batch(wrong).expect(wrong);
        drop(db);
        let run = garden.note(&["list"]);
        assert_eq!(run.code, 8, "{wrong}: {}", run.err);
        assert!(!run.err.contains("bug"), "{wrong}: {}", run.err);
    }
}

/// The notes that a file holds by itself, with nothing beside it.
pub fn alone(database: &Path) -> u32 {
    let folder = tempfile::tempdir().expect("a folder");
    let copy = folder.path().join("alone.sqlite");
    std::fs::copy(database, &copy).expect("copied");
    let db = rusqlite::Connection::open(&copy).expect("it opens");
    db.query_row("SELECT count(*) FROM entry", [], |r| r.get(0)).unwrap_or(0)
}

#[test]
fn after_every_command_the_diary_is_one_file() {
    let garden = with_notes(5);
    let backup = garden.file("backup.sqlite");
    let at = ["--at", "2027-05-14T16:00"];
    let folder = garden.path.display().to_string();
    garden.noted(&["voles", "leeks"]);
    for run in [
        garden.note(&["list"]),
        garden.diary(&["skill"]),
        garden.diary(&["backup", &backup]),
        garden.diary(&["restore", &backup, "--replace"]),
        crate::harness::rimefold(&["tonight", &folder, at[0], at[1]]),
        garden.note(&["list"]),
    ] {
        assert_eq!(run.code, 0, "{}", run.err);
        for end in ["-wal", "-shm", "-journal"] {
            assert!(!garden.path.join(format!("diary.sqlite{end}")).exists(), "{end}");
        }
    }
    assert_eq!(alone(&garden.database()), 6);
}
