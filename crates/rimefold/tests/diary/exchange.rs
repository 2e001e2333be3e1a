//! Out to files and in again; bad files.

use super::Garden;

const HEAD: &str =
    "id,at,written,what,bed,where,sheet,temperature_c,share,plan,task,strikes,note\n";

/// A garden with every kind of thing in its diary: awkward words, an undo, a plan, a forecast, a tick.
fn full() -> Garden {
    let garden = Garden::new("wisconsin");
    let words = "frost on the \"north\" edge,\nice — très froid; =1+1";
    garden.noted(&["reading", "--min", "28.3", "--bed", "kale", "--remark", words]);
    garden.noted(&["loss", "kale", "--share", "33.3"]);
    garden.noted(&["undo"]);
    let folder = garden.path.display().to_string();
    let run = crate::harness::rimefold(&["tonight", &folder, "--at", "2027-05-14T16:00"]);
    assert_eq!(run.code, 0, "{}", run.err);
    garden.noted(&["done", "1"]);
    garden
}

#[test]
fn what_comes_out_goes_in_and_comes_out_the_same() {
    let garden = full();
    for (flag, name) in [("--json", "out.json"), ("--csv", "out")] {
        let out = garden.file(name);
        let run = garden.diary(&["export", flag, &out]);
        assert_eq!(run.code, 0, "{}", run.err);
        assert!(run.out.contains("4 notes, 1 forecast and 1 plan"), "{}", run.out);
        let again = garden.diary(&["export", flag, &out]);
        assert_eq!(again.code, 10, "never over an old file");

        let other = Garden::new("wisconsin");
        let run = other.diary(&["import", flag, &out]);
        assert_eq!(run.code, 0, "{}", run.err);
        assert!(run.out.contains("4 notes, 1 forecast and 1 plan; 0 were"), "{}", run.out);
        let twice = other.diary(&["import", flag, &out]);
        assert!(twice.out.contains("0 notes, 0 forecasts and 0 plans; 6 were"), "{}", twice.out);
        let copy = other.file(name);
        assert_eq!(other.diary(&["export", flag, &copy]).code, 0);
        let files: &[&str] = if flag == "--json" {
            &[""]
        } else {
            &["notes.csv", "forecasts.csv", "plans.csv", "said.csv"]
        };
        for file in files {
            let read = |root: &str| {
                let path = std::path::Path::new(root);
                std::fs::read(if file.is_empty() { path.into() } else { path.join(file) })
            };
            let (a, b) = (read(&out).expect("there"), read(&copy).expect("there"));
            assert!(a == b, "{flag} {file} differs");
            assert!(a.len() > 100, "{flag} {file} is empty");
        }
        assert_eq!(garden.list(), other.list());
    }
}

/// SHA-256 of `abc` as in FIPS 180-4's examples; of the byte FF from memory, checked with a library of Python.
#[test]
fn a_forecast_comes_in_only_as_the_bytes_it_says_it_is() {
    let garden = Garden::new("jura");
    let row = |sha: &str, encoding: &str, content: &str| {
        format!(
            r#"{{"layout": 1, "forecasts": [{{"sha256": "{sha}", "source": "x", "issued": null,
            "read_at": "2027-05-14T16:00:00Z", "encoding": "{encoding}", "content": "{content}"}}]}}"#
        )
    };
    let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    let ff = "a8100ae6aa1940d0b663bb31cd466142ebbdbd5187131b92d93818987832eb89";
    for (text, code) in [
        (row(abc, "text", "abc"), 0),
        (row(ff, "hex", "ff"), 0),
        (row(abc, "text", "abd"), 8),
        (row(ff, "hex", "f"), 8),
    ] {
        let file = garden.write("in.json", &text);
        let run = garden.diary(&["import", "--json", &file]);
        assert_eq!(run.code, code, "{text}: {}", run.err);
        std::fs::remove_file(garden.database()).expect("removed");
    }
}

#[test]
fn every_bad_row_is_told_with_its_place_and_nothing_comes_in() {
    let garden = Garden::new("jura");
    garden.noted(&["voles", "leeks"]);
    let text = format!(
        "{HEAD}\
         ,2027-05-15T05:00:00Z,,minimum,leeks,open,,-1.5,,,,,fine\n\
         ,2027-05-15T05:00:00Z,,minimum,leeks,open,,cold,,,,,\n\
         ,2027-05-15T05:00:00Z,,minimum,leeks,open,,-200,,,,,\n\
         ,yesterday,,minimum,leeks,open,,1,,,,,\n\
         ,2027-05-15T05:00:00Z,,minimum,leeks,above,,1,,,,,\n\
         ,2027-05-15T05:00:00Z,,froze,leeks,,,,,,,,\n\
         ,2027-05-15T05:00:00Z,,loss,leeks,,,,1.5,,,,\n\
         ,2027-05-15T05:00:00Z,,voles,leeks,,,3,,,,,\n\
         ,2027-05-15T05:00:00Z,,undo,,,,,,,,xyz,\n\
         ,2027-05-15T05:00:00Z\n"
    );
    let file = garden.write("bad.csv", &text);
    let run = garden.diary(&["import", "--csv", &file]);
    assert_eq!(run.code, 8);
    for words in [
        "bad.csv, line 3, column temperature_c: found `cold`, expected a number",
        "line 4, column temperature_c: found `-200`, expected -60 to 60 °C",
        "line 5, column at: found `yesterday`, expected a moment",
        "line 6, column where: found `above`, expected open or under",
        "line 7, column what: found `froze`, expected minimum, maximum, covered",
        "line 8, column share: found `1.5`, expected 0 to 1",
        "line 9, column temperature_c: found `a value`, expected nothing",
        "line 10, column strikes: found `xyz`, expected an id",
        "line 11: found 2 values, expected 13",
        "Nothing was taken in",
    ] {
        assert!(run.err.contains(words), "{words}:\n{}", run.err);
    }
    assert!(!run.err.contains("line 2"), "{}", run.err);
    assert_eq!(garden.list().len(), 1);
}

#[test]
fn a_fault_found_only_in_the_diary_takes_the_good_rows_back_out() {
    let garden = Garden::new("jura");
    garden.noted(&["voles", "leeks"]);
    let good = ",2027-05-15T05:00:00Z,,minimum,leeks,open,,-1.5,,,,,\n";
    let nowhere = "0123456789abcdef0123456789abcdef";
    for (bad, words) in [
        (format!(",2027-05-15T05:00:00Z,,undo,,,,,,,,{nowhere},\n"), "no entry 0123"),
        (format!(",2027-05-15T05:00:00Z,,done,,,,,,{nowhere},1,,\n"), "no plan 0123"),
    ] {
        let file = garden.write("in.csv", format!("{HEAD}{good}{bad}"));
        let run = garden.diary(&["import", "--csv", &file]);
        assert_eq!(run.code, 8);
        assert!(run.err.contains("in.csv, line 3") && run.err.contains(words), "{}", run.err);
        assert_eq!(garden.list().len(), 1);
    }
    // The same id with other contents is no second copy.
    let id = garden.list()[0]["id"].as_str().expect("an id").to_owned();
    let row = format!("{id},2027-05-15T05:00:00Z,,minimum,leeks,open,,-1.5,,,,,\n");
    let file = garden.write("in.csv", format!("{HEAD}{good}{row}"));
    let run = garden.diary(&["import", "--csv", &file]);
    assert!(run.code == 8 && run.err.contains("with other contents"), "{}", run.err);
    assert_eq!(garden.list().len(), 1);
}

#[test]
fn bad_columns_and_bad_json_are_told_with_their_place() {
    let garden = Garden::new("jura");
    let file = garden.write("a.csv", "id,at,temperature\n");
    let run = garden.diary(&["import", "--csv", &file]);
    assert!(run.code == 8 && run.err.contains("line 1: no column `temperature`"), "{}", run.err);
    let note = r#"{"id": null, "at": "2027-05-15T05:00:00Z", "written": null, "what": "minimum",
      "bed": null, "where": "open", "sheet": null, "temperature_c": DEGREES, "share": null,
      "plan": null, "task": null, "strikes": null, "note": null}"#;
    for (degrees, place) in [
        ("\"cold\"", "line 4, character"),
        ("99", "column temperature_c: found `99`, expected -60 to 60 °C"),
        ("1, \"colour\": 2", "unknown field `colour`"),
    ] {
        let text =
            format!("{{\"layout\": 1,\n\"notes\": [\n{}]}}", note.replace("DEGREES", degrees));
        let file = garden.write("a.json", text);
        let run = garden.diary(&["import", "--json", &file]);
        assert!(run.code == 8 && run.err.contains(place), "{degrees}: {}", run.err);
        assert!(run.err.contains("a.json, line "), "{}", run.err);
    }
    let file = garden.write("b.json", r#"{"layout": 2}"#);
    let run = garden.diary(&["import", "--json", &file]);
    assert!(run.code == 8 && run.err.contains("layout 2"), "{}", run.err);
    assert!(!garden.database().exists());
}

#[test]
fn a_list_of_ones_own_needs_no_ids_and_comes_in_once() {
    let garden = Garden::new("jura");
    // As a spreadsheet writes it: a mark before UTF-8, other columns' order, only some columns.
    let text = "\u{feff}at,what,where,temperature_c,bed,id,written,sheet,share,plan,task,strikes,note\r\n\
                2026-04-01T05:00:00Z,minimum,open,-3.2,,,,,,,,,\r\n\
                2026-04-02T05:00:00Z,minimum,open,-1,leeks,,,,,,,,\r\n";
    let file = garden.write("mine.csv", text);
    for added in ["2 notes", "0 notes"] {
        let run = garden.diary(&["import", "--csv", &file]);
        assert!(run.code == 0 && run.out.contains(added), "{}{}", run.out, run.err);
    }
    let notes = garden.list();
    assert_eq!(notes.len(), 2);
    assert_eq!(notes[0]["temperature_c"].as_f64(), Some(-3.2));
    assert_eq!(notes[0]["written"], notes[0]["at"]);
}
