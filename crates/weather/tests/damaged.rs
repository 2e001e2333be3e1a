//! Damaged forecasts and records: read or refused in words, never a panic, never a value that cannot be.

use std::path::Path;

use measured_data::mutations::{corpus, hold_against};
use weather::frost::FrostDates;
use weather::timeline::ALL;

fn folder(name: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join(name)
}

#[test]
fn damaged_forecasts_are_read_or_refused() {
    let mut files = corpus(&folder("corpus/forecasts"));
    files.extend(corpus(&folder("malformed")));
    let mut read = 0;
    hold_against("forecasts", &files, 40_000, |bytes| match weather::read(bytes) {
        Ok(forecast) => {
            read += 1;
            for hour in &forecast.hours {
                for q in ALL {
                    assert!(q.reading(hour).is_none_or(|r| q.bounds().holds(r.value)), "{q:?}");
                }
            }
        }
        Err(e) => assert!(e.to_string().len() < 2000, "{e}"),
    });
    assert!(read > 200, "only {read} were still forecasts");
}

#[test]
fn damaged_records_are_read_or_refused() {
    let files = corpus(&folder("corpus/stations"));
    let mut read = 0;
    hold_against("station records", &files, 40_000, |bytes| match weather::station::read(bytes) {
        Ok(record) => {
            read += 1;
            assert!(record.days().all(|d| d.tmin_c.is_none_or(|t| (-90.0..=60.0).contains(&t))));
            if read % 50 == 0 {
                let dates = FrostDates::from_record(&record, 0.0, 45.0);
                assert!(dates.last_spring.share().is_none_or(|s| (0.0..=1.0).contains(&s)));
            }
        }
        Err(e) => assert!(e.to_string().len() < 2000, "{e}"),
    });
    assert!(read > 1000, "only {read} were still records");
}
