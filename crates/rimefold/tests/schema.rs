//! Every answer in JSON is what its schema in `docs/schema` says, and the layout that docs/json.md names.

use serde_json::Value;

use crate::diary::Garden;
use crate::harness::{Ask, Run, root, with_three_years};

/// The answer, which is what its schema says.
pub fn valid(verb: &str, run: &Run) -> Value {
    assert_eq!(run.code, 0, "{verb}: {}", run.err);
    let answer: Value = serde_json::from_str(&run.out).expect("JSON");
    let file = root().join(format!("docs/schema/{verb}.json"));
    let schema = std::fs::read_to_string(file).expect("a schema");
    let schema: Value = serde_json::from_str(&schema).expect("JSON");
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema", "{verb}");
    let validator = jsonschema::draft202012::new(&schema).expect("a schema");
    let faults: Vec<String> =
        validator.iter_errors(&answer).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(faults.is_empty(), "{verb}: {faults:?}");
    // Not so loose that anything would do: every member is needed, and none may be a bare word.
    for member in answer.as_object().expect("an object").keys() {
        let mut less = answer.clone();
        less.as_object_mut().expect("an object").remove(member);
        let optional = answer[member].is_null();
        assert!(optional || !validator.is_valid(&less), "{verb} without {member} is valid");
    }
    let page = std::fs::read_to_string(root().join("docs/json.md")).expect("a page");
    let row = format!("| `{verb}` | {} |", answer["layout"]);
    assert!(page.contains(&row), "docs/json.md lacks {row}");
    assert!(!run.out.contains(" { "), "{verb} shows the program's own names: {}", run.out);
    answer
}

#[test]
fn tonight_by_day_and_in_the_morning() {
    for garden in ["wisconsin", "jura"] {
        for forecast in ["forecast.json", "forecast-windy.json"] {
            let forecast = format!("demo/{garden}/{forecast}");
            if !root().join(&forecast).exists() {
                continue;
            }
            let folder = format!("demo/{garden}");
            let ask = ["tonight", &folder, "--forecast", &forecast, "--json"];
            let answer = valid("tonight", &Ask::new(&ask).clock("2027-05-14T16:00").run());
            assert_eq!(answer["this_morning"], Value::Null);
        }
    }
    let ask = ["tonight", "demo/wisconsin", "--json"];
    let answer = valid("tonight", &Ask::new(&ask).clock("2027-05-15T07:00").run());
    let open = answer["this_morning"]["morning"].as_array().expect("a list");
    assert_eq!(open[0]["action"], "open_ends", "{open:?}");
}

#[test]
fn the_nights_ahead() {
    for garden in ["wisconsin", "jura"] {
        let ask = ["week", &format!("demo/{garden}"), "--json"];
        let answer = valid("week", &Ask::new(&ask).clock("2027-05-14T16:00").run());
        let nights = answer["nights"].as_array().expect("a list").len();
        assert!((2..=7).contains(&nights), "{nights}");
        for bed in answer["beds"].as_array().expect("a list") {
            assert_eq!(bed["nights"].as_array().map(Vec::len), Some(nights), "{bed}");
        }
    }
}

#[test]
fn hoops_cuts_and_kit() {
    for verb in ["hoops", "cut", "kit"] {
        valid(verb, &Ask::new(&[verb, "demo/wisconsin", "--json"]).run());
    }
    valid("hoops", &Ask::new(&["hoops", "demo/jura", "--json"]).run());
    let hoops = valid("hoops", &Ask::new(&["hoops", "demo/wisconsin", "--json"]).run());
    let change = &hoops["tunnels"][0]["instead"][0]["change"];
    assert_eq!(change["kind"], "spacing");
    assert!(change["spacing_m"].as_f64().is_some_and(|m| m > 0.1), "{change}");
}

#[test]
fn a_record_and_what_rests_on_it() {
    let (_folder, path) = with_three_years("wisconsin");
    for verb in ["kit", "year", "replay"] {
        valid(verb, &Ask::new(&[verb, &path, "--json"]).run());
    }
    let garden = Garden::new("jura");
    let record = garden.write("record.csv", crate::harness::three_years());
    let folder = garden.path.display().to_string();
    let ask = ["station", "use", "--garden", &folder, &record, "--json"];
    valid("station", &Ask::new(&ask).run());
}

#[test]
fn notes() {
    let garden = Garden::new("wisconsin");
    garden.noted(&["--at", "2027-05-14T06:00", "reading", "--min", "31"]);
    garden.noted(&["covered", "kale"]);
    let folder = garden.path.display().to_string();
    let answer =
        valid("note-list", &Ask::new(&["note", "--garden", &folder, "list", "--json"]).run());
    let notes = answer["notes"].as_array().expect("notes");
    assert_eq!((notes.len(), &notes[0]["stands"]), (2, &Value::Bool(true)));
}
