//! Readings of machines: nothing twice, nothing lost, bounded space.

use diary::series::{Series, beside};
use quantities::Moment;
use sensors::Reading;
use sensors::constants::{FINE_DAYS, KEPT_DAYS, SLOT_S};

/// 14 May 2027, 8:00 UTC.
const NOW: Moment = Moment(1_810_281_600);

fn open(folder: &tempfile::TempDir) -> Series {
    Series::open(&beside(&folder.path().join("diary.sqlite"))).expect("opens")
}

/// A reading a minute for so many days until now, a daily wave.
fn minutes(days: i64) -> Vec<Reading> {
    let wave = |s: i64| 8.0 + 6.0 * (s as f64 / 86_400.0 * std::f64::consts::TAU).sin();
    let each =
        |s: i64| Reading { at: NOW.plus_seconds(s), celsius: (wave(s) * 10.0).round() / 10.0 };
    (-days * 1440..=0).map(|m| each(m * 60)).collect()
}

#[test]
fn nothing_is_taken_twice() {
    let folder = tempfile::tempdir().expect("a folder");
    let readings = minutes(2);
    let mut once = open(&folder);
    let taken = once.take("pole", &readings, NOW).expect("takes");
    assert_eq!((taken.believed, taken.known), (readings.len() as u32, 0));
    let rows = |s: &Series| s.slots("pole", Moment(0), NOW.plus_seconds(9)).expect("reads");
    let before = rows(&once);
    assert_eq!(before.iter().map(|s| s.count).sum::<u32>() as usize, readings.len());
    // The same file again, a longer one that overlaps, one reading sent twice, an older one late.
    let again = once.take("pole", &readings, NOW).expect("takes");
    assert_eq!((again.believed, again.known as usize), (0, readings.len()));
    assert_eq!(rows(&once), before);
    let mut longer = minutes(3);
    longer.reverse();
    let late = once.take("pole", &longer, NOW).expect("takes");
    assert_eq!((late.believed, late.known as usize), (1440, readings.len()));
    let one = Reading { at: NOW.plus_seconds(60), celsius: 8.0 };
    assert_eq!(once.take("pole", &[one], one.at).expect("takes").believed, 1);
    assert_eq!(once.take("pole", &[one], one.at).expect("takes").known, 1);
    assert_eq!(
        once.take("pole", &[Reading { at: NOW.plus_seconds(7200), celsius: 8.0 }], NOW)
            .expect("takes")
            .ahead,
        1
    );
    // Another sensor is another sensor.
    assert_eq!(once.take("tunnel", &readings[..5], NOW).expect("takes").believed, 5);
    let seen = once.seen().expect("reads");
    assert_eq!(seen.iter().map(|s| s.name.as_str()).collect::<Vec<_>>(), ["pole", "tunnel"]);
}

#[test]
fn what_is_not_believed_is_told_and_left_out() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut series = open(&folder);
    let mut readings = minutes(1);
    readings[100].celsius = -127.0;
    readings[200].celsius = 35.0;
    let taken = series.take("pole", &readings, NOW).expect("takes");
    assert_eq!((taken.impossible, taken.jumped), (1, 1));
    let rows = series.slots("pole", Moment(0), NOW).expect("reads");
    assert!(rows.iter().all(|s| s.least_c > 1.0 && s.greatest_c < 15.0));
    let seen = series.seen_of("pole").expect("reads").expect("seen");
    assert_eq!((seen.refused_count, seen.refused.map(|r| r.celsius)), (2, Some(35.0)));
    // Three in a row are believed even over three messages.
    for (minute, believed) in [(1, 0), (2, 0), (3, 1)] {
        let one = Reading { at: NOW.plus_seconds(minute * 60), celsius: 25.0 };
        assert_eq!(series.take("pole", &[one], one.at).expect("takes").believed, believed);
    }
}

/// Two years of a reading a minute, a day at a time as a logger is read: the file stays small. Prints size and time.
#[test]
fn years_of_minutes_stay_small() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut series = open(&folder);
    let days = 2 * 365;
    let all = minutes(days);
    let begun = std::time::Instant::now();
    for day in all.chunks(1440) {
        let now = day.last().expect("some").at;
        series.take("pole", day, now).expect("takes");
        series.compact(now).expect("compacts");
    }
    let took = begun.elapsed();
    let rows = series.slots("pole", Moment(0), NOW.plus_seconds(9)).expect("reads");
    let fine = rows.iter().filter(|s| s.seconds == SLOT_S).count() as i64;
    assert!((FINE_DAYS * 144..FINE_DAYS * 144 + 300).contains(&fine), "{fine}");
    assert_eq!(rows.iter().map(|s| s.count).sum::<u32>() as usize, all.len(), "none lost");
    assert!(rows.windows(2).all(|w| w[0].end() <= w[1].begins), "none twice");
    drop(series);
    let bytes = std::fs::metadata(folder.path().join(diary::series::NAME)).expect("a file").len();
    println!("{} readings: {} kB, {took:.1?}", all.len(), bytes / 1024);
    assert!(bytes < 3 << 20, "{bytes}");
    // After years everything old is gone.
    let mut series = open(&folder);
    series.compact(NOW.plus_seconds((KEPT_DAYS + 1) * 86_400)).expect("compacts");
    assert!(series.slots("pole", Moment(0), NOW.plus_seconds(9)).expect("reads").is_empty());
}

#[test]
fn a_foreign_or_damaged_file_is_left_as_it_is() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join(diary::series::NAME);
    for bytes in [b"not a database at all, but text".as_slice(), &[0x53; 4096]] {
        std::fs::write(&path, bytes).expect("writes");
        let error = Series::open(&path).expect_err("refuses").to_string();
        assert!(error.contains("Move it away"), "{error}");
        assert_eq!(std::fs::read(&path).expect("reads"), bytes);
    }
    std::fs::remove_file(&path).expect("removes");
    assert!(Series::open_read_only(&path).expect("reads").is_none());
}
