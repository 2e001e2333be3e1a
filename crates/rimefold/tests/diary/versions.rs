//! Diaries of every released layout open and keep every row; newer ones and other databases are left alone.

use super::{Garden, integrity};
use crate::harness::root;

/// Rows of `databases/v1.sqlite`, made by the program of layout 1: readings, covers, a loss, voles, snow, a sheet, an
/// undo, a tick, a plan with what it said and its forecast.
const V1: [(&str, i64); 10] = [
    ("entry", 12),
    ("reading", 3),
    ("cover", 3),
    ("sighting", 3),
    ("sheet_state", 1),
    ("undo", 1),
    ("done", 1),
    ("forecast", 1),
    ("plan", 1),
    ("said", 21),
];

fn count(db: &rusqlite::Connection, table: &str) -> i64 {
    db.query_row(&format!("SELECT count(*) FROM {table}"), [], |r| r.get(0)).expect("a count")
}

#[test]
fn a_diary_of_layout_1_opens_and_keeps_every_row() {
    let garden = Garden::new("jura");
    let kept = root().join("crates/rimefold/tests/databases/v1.sqlite");
    std::fs::copy(kept, garden.database()).expect("copied");
    let before = garden.list();
    assert_eq!(before.len(), 12);
    garden.noted(&["voles", "leeks"]);
    assert_eq!(garden.list()[..12], before[..]);
    let db = rusqlite::Connection::open(garden.database()).expect("it opens");
    for (table, rows) in V1 {
        let new = i64::from(table == "entry" || table == "sighting");
        assert_eq!(count(&db, table), rows + new, "{table}");
    }
    drop(db);
    assert_eq!(integrity(&garden.database()), "ok");
    let run = garden.diary(&["skill"]);
    assert!(
        run.code == 0
            && run
                .out
                .contains("Fri 14 May 2027, in the open: said -1.2 (-3.4 to 0.4), read -1.5 °C"),
        "{}{}",
        run.out,
        run.err
    );
    assert_eq!(garden.diary(&["export", "--json", &garden.file("out.json")]).code, 0);
}

/// Layout 2 adds the password of the pages and the visits begun with it.
#[test]
fn a_diary_of_layout_2_opens_and_keeps_every_row() {
    let garden = Garden::new("jura");
    let kept = root().join("crates/rimefold/tests/databases/v2.sqlite");
    std::fs::copy(kept, garden.database()).expect("copied");
    assert_eq!(garden.list().len(), 13);
    garden.noted(&["voles", "leeks"]);
    let db = rusqlite::Connection::open(garden.database()).expect("it opens");
    for (table, rows) in V1 {
        let new = if table == "entry" || table == "sighting" { 2 } else { 0 };
        assert_eq!(count(&db, table), rows + new, "{table}");
    }
    for table in ["password", "visit"] {
        assert_eq!(count(&db, table), 1, "{table}");
    }
    drop(db);
    assert_eq!(integrity(&garden.database()), "ok");
}

#[test]
fn a_diary_of_a_newer_layout_is_refused_and_left_as_it_is() {
    let garden = Garden::new("jura");
    garden.noted(&["voles", "leeks"]);
    let db = rusqlite::Connection::open(garden.database()).expect("it opens");
    db.execute_batch("PRAGMA user_version = 99; PRAGMA wal_checkpoint(TRUNCATE);").expect("set");
    drop(db);
    let before = std::fs::read(garden.database()).expect("there");
    for run in [
        garden.note(&["voles", "leeks"]),
        garden.note(&["list"]),
        garden.diary(&["skill"]),
        garden.diary(&["backup", &garden.file("b.sqlite")]),
    ] {
        assert_eq!(run.code, 8, "{}", run.err);
        assert!(run.err.contains("newer Rimefold (layout 99"), "{}", run.err);
    }
    assert!(before == std::fs::read(garden.database()).expect("there"), "it was touched");
}

#[test]
fn a_database_of_something_else_is_left_as_it_is() {
    let garden = Garden::new("jura");
    let db = rusqlite::Connection::open(garden.database()).expect("it opens");
    db.execute_batch("CREATE TABLE mine (x)").expect("made");
    drop(db);
    let before = std::fs::read(garden.database()).expect("there");
    let run = garden.note(&["voles", "leeks"]);
    assert!(run.code == 8 && run.err.contains("something else"), "{}", run.err);
    assert!(before == std::fs::read(garden.database()).expect("there"), "it was touched");
}
