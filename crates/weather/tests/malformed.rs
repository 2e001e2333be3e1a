//! Files that must be refused with one clear message, and never with a panic.

use std::path::Path;

use proptest::prelude::*;

const CASES: [(&str, &str); 25] = [
    ("empty.json", "the forecast is empty"),
    ("truncated.json", "line 14, column 29"),
    ("web_page.json", "this is a web page"),
    ("json_list.json", "this is a JSON list"),
    ("unrelated.json", "see docs/formats.md"),
    (
        "wrong_unit.json",
        "properties.temperature.uom: found \"wmoUnit:km\", expected a unit of air temperature",
    ),
    (
        "absurd_temperature.json",
        "values[0].value: found air temperature 400.0000 °C, expected -90 to 60 °C",
    ),
    ("no_temperature.json", "there is no air temperature"),
    ("bad_duration.json", "values[0].validTime: found"),
    ("endless_duration.json", "in whole hours"),
    ("backwards.json", "values[1]: found"),
    ("text_for_number.json", "found \"warm\", expected a number"),
    ("huge_number.json", "number out of range"),
    ("uneven_lists.json", "hourly.temperature_2m: found 1 values, expected 2 values"),
    ("unit_missing.json", "at hourly_units: found no `temperature_2m`"),
    (
        "negative_wind.csv",
        "line 2, column wind_speed_m_s: found wind speed -3.0000 m/s, expected 0 to 100 m/s",
    ),
    ("ragged_row.csv", "line 3, column all: found 2 cells, expected 3 cells"),
    ("unknown_column.csv", "`air_temperature_c` perhaps"),
    ("no_time_column.csv", "first column is `time`"),
    ("unknown_zone.csv", "found `America/Nowhere`, expected an IANA zone"),
    ("no_offset.csv", "expected a time with its offset"),
    ("repeated_hour.csv", "line 3, column time: found `2027-05-14T20:00Z`, expected a time later"),
    ("nan.csv", "found `NaN`, expected a number"),
    ("not_text.csv", "byte 23 is not text"),
    ("wrong_wind_words.json", "found \"breezy\", expected wind such as"),
];

fn folder() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/malformed")
}

#[test]
fn every_malformed_file_gives_its_one_message() {
    for (name, fragment) in CASES {
        let bytes = std::fs::read(folder().join(name)).expect("the fixture is there");
        let message = match weather::read(&bytes) {
            Ok(_) => panic!("{name} was read"),
            Err(e) => e.to_string(),
        };
        assert!(message.contains(fragment), "{name}: {message}");
        assert_eq!(message.lines().count(), 1, "{name}: {message}");
    }
    let files = std::fs::read_dir(folder()).expect("the folder is there").count();
    assert_eq!(files, CASES.len(), "every fixture has its case");
}

const CSV: &str = "# zone = Europe/Paris\ntime,air_temperature_c,dew_point_c,cloud_pct\n\
2027-10-31T01:00,5,1,10\n2027-10-31T02:00,4,,20\n2027-10-31T02:00,3,1,\n";

const JSON: &str = r#"{"utc_offset_seconds":7200,"hourly_units":{"temperature_2m":"°C","precipitation":"mm"},
"hourly":{"time":["2027-05-14T18:00","2027-05-14T19:00"],"temperature_2m":[8.0,null],"precipitation":[0,1]}}"#;

proptest! {
    #[test]
    fn no_bytes_make_it_panic(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let _ = weather::read(&bytes);
    }

    #[test]
    fn no_damage_to_a_good_file_makes_it_panic(
        json in any::<bool>(), cut in 0..200_usize, at in 0..200_usize, byte in any::<u8>(),
    ) {
        let mut bytes = if json { JSON.as_bytes().to_vec() } else { CSV.as_bytes().to_vec() };
        let n = bytes.len();
        bytes[at % n] = byte;
        bytes.truncate(n - cut % n);
        let _ = weather::read(&bytes);
    }
}
