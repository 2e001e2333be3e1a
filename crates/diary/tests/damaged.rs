//! Damaged exports: taken in or refused in words; never a panic, never our bug.

use diary::exchange::csv::{self, FILES, Given};
use diary::exchange::json;
use measured_data::mutations::hold_against;

const NOTES: &str = "id,at,written,what,bed,where,sheet,temperature_c,share,plan,task,strikes,note,layers,placement\n\
    0123456789abcdef0123456789abcdef,2027-05-15T05:00:00Z,2027-05-15T05:01:00Z,minimum,leeks,open,,-1.5,,,,,fine,,\n\
    ,2027-05-15T05:00:00Z,,covered,leeks,,fleece,,,,,,'=1+1,2,low tunnel\n\
    ,2027-05-15T05:00:00Z,,loss,leeks,,,,0.5,,,,,,\n\
    ,2027-05-15T06:00:00Z,,undo,,,,,,,,0123456789abcdef0123456789abcdef,,,\n";

fn notes(bytes: &[u8]) -> Given {
    Given { name: FILES[0], shown: "notes.csv".into(), bytes: bytes.to_vec() }
}

#[test]
fn damaged_lists_of_notes_are_read_or_refused() {
    let mut read = 0;
    hold_against("notes as CSV", &[NOTES.into()], 20_000, |bytes| {
        match csv::read(&[notes(bytes)]) {
            Ok(all) => read += all.notes.len(),
            Err(e) => assert!(!e.is_bug(), "{e}"),
        }
    });
    assert!(read > 1000, "only {read} notes were still read");
}

#[test]
fn damaged_diaries_as_json_are_read_or_refused() {
    let all = csv::read(&[notes(NOTES.as_bytes())]).expect("it reads");
    let good = json::write(&all).expect("it writes");
    let mut read = 0;
    hold_against("diaries as JSON", &[good.into_bytes()], 20_000, |bytes| {
        match json::read("diary.json", bytes) {
            Ok(all) => read += all.notes.len(),
            Err(e) => assert!(!e.is_bug(), "{e}"),
        }
    });
    assert!(read > 1000, "only {read} notes were still read");
}
