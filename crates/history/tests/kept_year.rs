//! The year of a bed written down and read again.

use history::year::winter::Verdict;
use history::year::{BedYear, Past, plan};

use crate::scene::record;
use crate::year::{garden, past};

#[test]
fn a_kept_year_is_the_year() {
    let (garden, record) = (garden(43.0), record(false));
    let past = past(&garden, &record, 1990..=1992);
    let ready = Past::new(&garden, &record, 1990..=1992, &|_| true, 1).expect("ready");
    let ready = ready.without_nights();
    for bed in plan(&past, 0.1).beds {
        let text = serde_json::to_string(&bed).expect("writes");
        let read = || serde_json::from_str::<BedYear>(&text).expect("reads");
        let again = read().filled_in(&ready).expect("a year of this bed");
        assert_eq!(format!("{again:?}"), format!("{bed:?}"));
        let mut fewer = read();
        fewer.plantings.clear();
        assert!(fewer.filled_in(&ready).is_none(), "a planting is missing");
        let mut elsewhere = read();
        elsewhere.bed = 99;
        assert!(elsewhere.filled_in(&ready).is_none(), "no such bed");
        let mut wrong = read();
        for planting in &mut wrong.plantings {
            if let Ok(winter) = &mut planting.winter {
                winter.verdict = Verdict::Under(99);
                assert!(read().filled_in(&ready).is_some());
            }
        }
        if wrong.plantings.iter().any(|p| p.winter.is_ok()) {
            assert!(wrong.filled_in(&ready).is_none(), "no such cover");
        }
    }
}
