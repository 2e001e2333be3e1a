//! Notes and taking them back.

use super::Garden;

#[test]
fn every_kind_of_note_is_kept_as_it_was_said() {
    let garden = Garden::new("wisconsin");
    let at = ["--at", "2027-05-15T06:30"];
    // 28 °F is −20/9 °C; 41 °F is 5 °C, exact by definition of the scales.
    for (args, what) in [
        (&["reading", "--min", "28", "--bed", "broccoli", "--under", "heavy 72"][..], "minimum"),
        (&["reading", "--max", "5C"], "maximum"),
        (&["covered", "Broccoli", "--with", "HEAVY 72"], "covered"),
        (&["opened", "broccoli"], "opened"),
        (&["half-open", "broccoli"], "half-open"),
        (&["vented", "broccoli"], "vented"),
        (&["loss", "kale", "--share", "20"], "loss"),
        (&["snow-brushed", "kale"], "snow-brushed"),
        (&["voles", "carrots"], "voles"),
        (&["sheet", "net", "--damaged"], "damaged"),
        (&["sheet", "net", "--retired", "--remark", "chewed, \"twice\""], "retired"),
    ] {
        let run = garden.note(&[args, &at].concat());
        assert_eq!(run.code, 0, "{}", run.err);
        let id = super::id(&run.out).expect("an id");
        assert!(run.out.contains(&format!("note --garden {} undo {id}", garden.path.display())));
        let notes = garden.list();
        let last = notes.last().expect("it");
        assert_eq!(last["what"], what);
        assert_eq!(last["at"], "2027-05-15T11:30:00Z", "6:30 in Chicago's summer is UTC − 5 h");
        assert!(last["id"].as_str().is_some_and(|i| i.len() == 32 && i.starts_with(&id)));
    }
    let notes = garden.list();
    assert_eq!(notes.len(), 11);
    assert!((notes[0]["temperature_c"].as_f64().expect("a number") + 20.0 / 9.0).abs() < 1e-12);
    assert_eq!((&notes[0]["where"], &notes[0]["sheet"]), (&"under".into(), &"heavy 72".into()));
    assert_eq!(
        (&notes[1]["where"], notes[1]["temperature_c"].as_f64()),
        (&"open".into(), Some(5.0))
    );
    assert_eq!(notes[2]["bed"], "broccoli", "the garden's own spelling");
    assert_eq!(notes[2]["sheet"], "heavy 72");
    assert_eq!(notes[6]["share"].as_f64(), Some(0.2));
    assert_eq!(notes[10]["note"], "chewed, \"twice\"");
    let text = garden.note(&["list"]).out;
    assert!(text.contains("minimum 28 °F, broccoli, under “heavy 72”"), "{text}");
}

#[test]
fn a_reading_of_both_ends_is_two_notes() {
    let garden = Garden::new("jura");
    let run = garden.note(&["reading", "--min", "-2,5", "--max", "11", "--at", "2027-05-15T07:00"]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(
        run.out.contains(
            "minimum -2.5 °C, in the open; Saturday 15 May, 07:00 (night of Friday 14 May)"
        )
    );
    let degrees: Vec<_> = garden.list().iter().map(|n| n["temperature_c"].as_f64()).collect();
    assert_eq!(degrees, [Some(-2.5), Some(11.0)]);
}

#[test]
fn a_wrong_word_is_told_with_the_nearest_and_nothing_is_written() {
    let garden = Garden::new("wisconsin");
    for (args, words) in [
        (&["covered", "brocoli"][..], "did you mean `broccoli`"),
        (&["covered", "broccoli", "--with", "heavy72"], "did you mean `heavy 72`"),
        (&["reading", "--min", "cold"], "expected a temperature in °F"),
        (&["reading", "--min", "280"], "no garden is as cold or as warm"),
        (&["reading", "--min", "30", "--under", "heavy 72"], "add --bed"),
        (&["reading", "--min", "50", "--max", "30"], "swapped"),
        (&["reading"], "--min"),
        (&["reading", "--bed", "kale"], "--min"),
        (&["loss", "kale", "--share", "120"], "0 to 100"),
        (&["sheet", "net"], "--damaged"),
        (&["voles", "kale", "--at", "yesterday"], "expected a time"),
    ] {
        let run = garden.note(args);
        assert_eq!(run.code, 2, "{args:?}: {}", run.err);
        assert!(run.err.contains(words), "{args:?}: {}", run.err);
    }
    assert!(!garden.database().exists());
    assert_eq!(garden.note(&["list"]).code, 5);
    assert_eq!(garden.note(&["undo"]).code, 5);
}

#[test]
fn what_is_taken_back_stays_and_can_be_brought_back() {
    let garden = Garden::new("wisconsin");
    let first = garden.noted(&["voles", "kale"]);
    let second = garden.noted(&["vented", "kale"]);
    let undo = garden.noted(&["undo"]);
    assert!(garden.stands(&first) && !garden.stands(&second) && garden.stands(&undo));
    // Again without an id: the newest that stands and is no undo.
    let undo_first = garden.noted(&["undo"]);
    assert!(!garden.stands(&first));
    let again = garden.noted(&["undo", &undo]);
    assert!(garden.stands(&second) && !garden.stands(&undo) && garden.stands(&again));
    // And the undo of an undo can be taken back too.
    let thrice = garden.noted(&["undo", &again]);
    assert!(!garden.stands(&second) && garden.stands(&undo));
    assert_eq!(garden.list().len(), 6, "nothing is deleted");
    for (which, words) in [
        (second.as_str(), "taken back already"),
        ("ffffffffffffffffffffffffffffffff", "no entry's id begins with"),
    ] {
        let run = garden.note(&["undo", which]);
        assert_eq!(run.code, 2);
        assert!(run.err.contains(words), "{}", run.err);
    }
    let run = garden.note(&["undo"]);
    assert!(run.code == 2 && run.err.contains("nothing to take back"), "{}", run.err);
    assert!(garden.stands(&thrice) && garden.stands(&undo_first));
}

#[test]
fn the_file_itself_refuses_to_lose_or_change_a_row() {
    let garden = Garden::new("wisconsin");
    garden.noted(&["reading", "--min", "30"]);
    let db = rusqlite::Connection::open(garden.database()).expect("it opens");
    for sql in [
        "DELETE FROM entry",
        "UPDATE entry SET at = 0",
        "DELETE FROM reading",
        "UPDATE reading SET celsius = 0",
    ] {
        let e = db.execute(sql, []).expect_err("refused").to_string();
        assert!(e.contains("the diary only grows"), "{sql}: {e}");
    }
    let bad = "INSERT INTO entry (id, kind, at, written) VALUES ('x', 'reading', 0, 0)";
    assert!(db.execute(bad, []).expect_err("refused").to_string().contains("CHECK"));
    let mode: String = db.query_row("PRAGMA journal_mode", [], |r| r.get(0)).expect("a mode");
    assert_eq!(mode, "delete", "one file while nobody has it open");
}

#[test]
fn tonight_keeps_its_plan_only_where_there_is_a_diary_and_tasks_are_ticked_off() {
    let garden = Garden::new("wisconsin");
    let folder = garden.path.display().to_string();
    let tonight = || crate::harness::rimefold(&["tonight", &folder, "--at", "2027-05-14T16:00"]);
    let before = tonight();
    assert_eq!(before.code, 0, "{}", before.err);
    assert!(!garden.database().exists(), "a garden without a diary stays as it is");
    assert_eq!(garden.note(&["done", "1"]).code, 5);
    garden.noted(&["voles", "kale"]);
    assert!(garden.note(&["done", "1"]).err.contains("no plan is kept yet"));
    let after = tonight();
    assert_eq!(before.out, after.out, "the answer is the same");
    assert!(after.err.is_empty(), "{}", after.err);
    let tick = garden.noted(&["done", "2", "--at", "2027-05-14T19:10"]);
    assert_eq!(garden.noted(&["done", "2"]), tick, "ticked once");
    let wrong = garden.note(&["done", "99"]);
    assert!(wrong.code == 2 && wrong.err.contains("its tasks are 1 to"), "{}", wrong.err);
    garden.noted(&["undo", &tick]);
    let again = garden.noted(&["done", "2"]);
    assert_ne!(again, tick, "a tick taken back can be set again");
    // What lies changes the answer.
    garden.noted(&["undo", &again]);

    let db = rusqlite::Connection::open(garden.database()).expect("it opens");
    let (plans, night, model, report): (u32, String, u32, String) = db
        .query_row("SELECT count(*), night, model, report FROM plan", [], |r| {
            Ok((r.get(0)?, r.get(1)?, r.get(2)?, r.get(3)?))
        })
        .expect("a plan");
    assert_eq!((plans, night.as_str(), model), (1, "2027-05-14", 5));
    let report: serde_json::Value = serde_json::from_str(&report).expect("JSON");
    let shown =
        crate::harness::rimefold(&["tonight", &folder, "--at", "2027-05-14T16:00", "--json"]);
    let shown: serde_json::Value = serde_json::from_str(&shown.out).expect("JSON");
    assert_eq!(report, shown, "kept as it was shown");
    // What was said of the chosen cover is what the report says.
    let bed = &shown["beds"][1];
    let option = &bed["options"][bed["chosen"].as_u64().expect("covered") as usize];
    let (cover, p50): (String, f64) = db
        .query_row(
            "SELECT cover, air_p50_c FROM said WHERE bed = 'broccoli' AND chosen = 1",
            [],
            |r| Ok((r.get(0)?, r.get(1)?)),
        )
        .expect("said");
    assert_eq!(option["uses"][0]["item"], cover.as_str());
    assert_eq!(option["outcome"]["air_low_c"]["p50"].as_f64(), Some(p50));
    // The forecast's bytes by their SHA-256, once for two plans.
    let (count, sha): (u32, String) = db
        .query_row("SELECT count(*), sha256 FROM forecast", [], |r| Ok((r.get(0)?, r.get(1)?)))
        .expect("a forecast");
    assert_eq!((count, sha.len()), (1, 64));
}

/// Every command of docs/diary.md works, in order, on the demonstration garden.
#[test]
fn the_commands_of_the_page_work() {
    let page =
        std::fs::read_to_string(crate::harness::root().join("docs/diary.md")).expect("a page");
    let garden = Garden::new("wisconsin");
    let folder = garden.path.display().to_string();
    let mut ran = 0;
    for line in page.lines().filter(|l| l.starts_with("rimefold ")) {
        // Words in quotes are one word.
        let words = line.replace("my-garden", &folder);
        let args: Vec<&str> = words
            .split('"')
            .enumerate()
            .flat_map(
                |(n, part)| if n % 2 == 1 { vec![part] } else { part.split_whitespace().collect() },
            )
            .skip(1)
            .collect();
        let run = crate::harness::rimefold(&args);
        assert_eq!(run.code, 0, "{line}: {}", run.err);
        ran += 1;
    }
    assert!(ran >= 20, "{ran}");
}
