//! A backup from somebody else is not trusted: neither what it would do nor whom it would let in.

use std::time::{Duration, Instant};

use super::{Garden, integrity};

/// A garden with a note, and a backup of another garden's diary that somebody has worked on.
fn worked_on(sql: &str) -> (Garden, String) {
    let other = Garden::new("jura");
    other.noted(&["voles", "leeks"]);
    other.noted(&["voles", "salads"]);
    let garden = Garden::new("jura");
    garden.noted(&["voles", "leeks"]);
    let backup = garden.file("given.sqlite");
    assert_eq!(other.diary(&["backup", &backup]).code, 0);
    let db = rusqlite::Connection::open(&backup).expect("it opens");
    db.execute_batch(sql).expect(sql);
    (garden, backup)
}

#[test]
fn a_backup_that_is_not_made_as_ours_is_refused() {
    for sql in [
        "CREATE TRIGGER more AFTER INSERT ON entry BEGIN SELECT 1; END",
        "CREATE VIEW more AS SELECT 1",
        "CREATE TABLE more (x)",
        "CREATE INDEX more ON entry (at)",
        "DROP TRIGGER entry_kept",
        "ALTER TABLE entry ADD COLUMN more TEXT",
        // One that never ends, in the place of a table that is read.
        "DROP TABLE learning; CREATE VIEW learning AS WITH RECURSIVE n(number) AS \
         (SELECT 1 UNION ALL SELECT number + 1 FROM n) SELECT number, 1 AS at, 'freeze' AS act FROM n \
         WHERE number < 0",
    ] {
        let (garden, backup) = worked_on(sql);
        let begun = Instant::now();
        let run = garden.diary(&["restore", &backup, "--replace"]);
        assert!(begun.elapsed() < Duration::from_secs(5), "{sql}");
        assert_eq!(run.code, 8, "{sql}: {}", run.err);
        assert!(run.err.contains("not those that Rimefold makes"), "{sql}: {}", run.err);
        assert_eq!(garden.list().len(), 1, "{sql}");
        let new = Garden::new("jura");
        assert_eq!(new.diary(&["restore", &backup]).code, 8, "{sql}");
        assert!(!new.database().exists(), "{sql}");
    }
}

#[test]
fn a_backup_lets_nobody_in_and_takes_no_password_along() {
    const DOOR: &str = "INSERT INTO password VALUES (1, '$argon2id$theirs'); INSERT INTO visit VALUES \
         ('aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa', 0, 7000000000)";
    let rows = |path: &std::path::Path, sql: &str| -> Vec<String> {
        let db = rusqlite::Connection::open(path).expect("it opens");
        let mut query = db.prepare(sql).expect("a query");
        query.query_map([], |r| r.get(0)).expect("rows").map(|r| r.expect("text")).collect()
    };
    let (visits, password) = ("SELECT token_sha256 FROM visit", "SELECT hash FROM password");
    let (garden, backup) = worked_on(DOOR);
    let new = Garden::new("jura");
    assert_eq!(new.diary(&["restore", &backup]).code, 0);
    assert!(rows(&new.database(), visits).is_empty() && rows(&new.database(), password).is_empty());
    let bytes = std::fs::read(new.database()).expect("there");
    assert!(!bytes.windows(8).any(|w| w == b"$theirs"), "not even in a free page");

    let db = rusqlite::Connection::open(garden.database()).expect("it opens");
    db.execute_batch(&DOOR.replace("theirs", "ours")).expect("a door");
    drop(db);
    let run = garden.diary(&["restore", &backup, "--replace"]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(rows(&garden.database(), visits).is_empty(), "every visit ends");
    assert_eq!(rows(&garden.database(), password), ["$argon2id$ours"]);
    assert_eq!((garden.list().len(), integrity(&garden.database()).as_str()), (2, "ok"));
    // Neither goes out with a backup.
    let out = garden.file("out.sqlite");
    assert_eq!(garden.diary(&["backup", &out]).code, 0);
    assert!(rows(out.as_ref(), password).is_empty());
}

#[test]
fn a_table_gives_a_spreadsheet_nothing_to_run() {
    let garden = Garden::new("jura");
    let words =
        ["=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(1)", "'=1", "''@x", "-2.5", "plain 'word'"];
    for word in words {
        garden.noted(&["voles", "leeks", &format!("--remark={word}")]);
    }
    let folder = garden.file("out");
    assert_eq!(garden.diary(&["export", "--csv", &folder]).code, 0);
    let text = std::fs::read_to_string(garden.path.join("out/notes.csv")).expect("there");
    let mut cells = csv_cells(&text);
    // A number is no harm, and stays one.
    cells.retain(|c| c.parse::<f64>().is_err());
    for cell in &cells {
        // Source: OWASP, CSV Injection.
        assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r']), "{cell}");
    }
    let other = Garden::new("jura");
    assert_eq!(other.diary(&["import", "--csv", &folder]).code, 0);
    assert_eq!(other.list(), garden.list(), "what comes back is what was written");
}

/// Cells without quotes around them.
fn csv_cells(text: &str) -> Vec<String> {
    let lines = text.lines().skip(1);
    lines.flat_map(|l| l.split(',')).map(|c| c.trim_matches('"').to_owned()).collect()
}
