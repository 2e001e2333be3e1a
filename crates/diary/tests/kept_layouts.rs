//! Diaries of earlier layouts: read as they are, brought up to date by the first note, old names and all.

use std::path::{Path, PathBuf};

use diary::Diary;
use diary::entry::{Cover, Entry, Placement, Sighting, What};
use diary::state::{Openness, lying};
use quantities::Moment;

use crate::id;

fn kept(name: &str) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("diary.sqlite");
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("../rimefold/tests/databases");
    std::fs::copy(from.join(name), &path).expect("copied");
    (folder, path)
}

/// Both were made by the program of their layout, with one tick: task 1, which laid `30 g` over hoops on the salads.
#[test]
fn a_tick_of_an_older_layout_tells_what_lies_on_its_bed() {
    let cover = Cover {
        bed: "salads".into(),
        sheet: Some("30 g".into()),
        layers: Some(1),
        placement: Some(Placement::LowTunnel),
    };
    for name in ["v1.sqlite", "v2.sqlite"] {
        let (_folder, path) = kept(name);
        let before = std::fs::read(&path).expect("there");
        let read = Diary::open_read_only(&path).expect("read").entries().expect("entries");
        assert!(before == std::fs::read(&path).expect("there"), "{name} was touched by reading");
        let mut diary = Diary::open(&path).expect("opened");
        assert_eq!(read, diary.entries().expect("entries"), "{name}");
        let done: Vec<_> = read
            .iter()
            .filter_map(|j| match &j.entry.what {
                What::Done { task, cover, .. } => Some((*task, cover.clone(), j)),
                _ => None,
            })
            .collect();
        assert_eq!(done.len(), 1, "{name}");
        assert_eq!((done[0].0, done[0].1.as_ref()), (1, Some(&cover)), "{name}");
        let at = done[0].2.entry.at;
        let beds = lying(&read, at);
        let salads = beds.iter().find(|b| b.is_bed("salads")).expect("the salads");
        assert_eq!(done[0].2.stands, salads.is_covered_since(at, Some("30 g")), "{name}");
        assert!(done[0].2.stands && salads.openness == Openness::Shut, "{name}");

        // An old name can be taken back, and new ones stand beside it.
        let old = read[0].entry.id.clone();
        diary.undo_once(&old, id(1), Moment(1_800_000_000)).expect("taken back");
        let what = What::Seen { sighting: Sighting::Voles, bed: "salads".into() };
        let new = Entry::new(id(2), Moment(1_800_000_000), Moment(1_800_000_000), what);
        diary.add(std::slice::from_ref(&new)).expect("added");
        let now = diary.entries().expect("entries");
        assert!(!now[0].stands && now[0].entry == read[0].entry, "{name}");
        assert_eq!(now.last().map(|j| &j.entry), Some(&new), "{name}");
        diary.check().expect("whole");
    }
}

/// The rows still cannot be changed after the layout has been brought up to date.
#[test]
fn the_newest_layout_only_grows() {
    let (_folder, path) = kept("v1.sqlite");
    drop(Diary::open(&path).expect("opened"));
    let db = rusqlite::Connection::open(&path).expect("opened");
    for sql in ["UPDATE done SET bed = 'x'", "UPDATE said SET task = 9", "DELETE FROM done"] {
        let e = db.execute(sql, []).expect_err(sql).to_string();
        assert!(e.contains("the diary only grows"), "{e}");
    }
    let chosen: Vec<(String, u32)> = db
        .prepare("SELECT bed, task FROM said WHERE task IS NOT NULL ORDER BY task")
        .expect("a query")
        .query_map([], |r| Ok((r.get(0)?, r.get(1)?)))
        .expect("rows")
        .collect::<Result<_, _>>()
        .expect("rows");
    let expected = [("salads", 1), ("courgettes", 2), ("strawberries", 3)];
    assert_eq!(chosen, expected.map(|(bed, task)| (bed.to_owned(), task)));
}

/// A plan taken in from a file may hold any JSON; what it does not say is not made up, and nothing breaks.
#[test]
fn a_plan_that_does_not_say_what_its_tasks_are_is_no_obstacle() {
    for report in [
        "{}",
        "[]",
        "5",
        r#"{"work": 3, "beds": "x"}"#,
        r#"{"work": ["x", 1, null], "beds": ["x", 1, {"bed": ["y"]}]}"#,
        r#"{"work": {"a": {"bed": "salads"}}, "beds": [{"bed": "salads", "options": [{"cover": 7}]}]}"#,
    ] {
        let (_folder, path) = kept("v1.sqlite");
        let db = rusqlite::Connection::open(&path).expect("opened");
        db.execute_batch("DROP TRIGGER plan_same").expect("dropped");
        db.execute("UPDATE plan SET report = ?", [report]).expect("changed");
        drop(db);
        let diary = Diary::open(&path).expect(report);
        assert_eq!(diary.entries().expect("entries").len(), 12, "{report}");
    }
}

/// Four who open a diary that is not there yet, at once, a hundred times: each has it, none takes it for a foreign file.
#[test]
fn a_diary_that_several_make_at_once_is_a_diary_to_all_of_them() {
    let folder = tempfile::tempdir().expect("a folder");
    for round in 0..100 {
        let path = folder.path().join(format!("{round}.sqlite"));
        std::thread::scope(|s| {
            let open = || drop(Diary::open(&path).expect("opened"));
            for one in [(); 4].map(|()| s.spawn(open)) {
                one.join().expect("it is a diary");
            }
        });
    }
}
