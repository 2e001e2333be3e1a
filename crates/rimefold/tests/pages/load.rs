//! A diary of two hundred thousand notes: a note and a page take no longer for it.

use std::time::{Duration, Instant};

use super::{AFTERNOON, Site};
use crate::diary::Garden;

/// A thermometer's reading every ten minutes, a lowest one each morning, a cover now and then: so many notes in all, put
/// in by SQLite itself.
fn site(notes: u32) -> Site {
    let garden = Garden::new("jura");
    garden.noted(&["voles", "leeks"]);
    let db = rusqlite::Connection::open(garden.database()).expect("it opens");
    db.execute_batch(&format!(
        "BEGIN;
         CREATE TEMP TABLE n AS WITH RECURSIVE n(i) AS
           (SELECT 2 UNION ALL SELECT i + 1 FROM n WHERE i < {notes}) SELECT i FROM n;
         INSERT INTO entry (number, id, kind, at, written)
           SELECT i, printf('%032x', i), iif(i % 144 = 1, 'cover', 'reading'),
             1810303200 - 600 * ({notes} - i), 1810303200 - 600 * ({notes} - i) FROM n;
         INSERT INTO cover (entry, act, bed)
           SELECT i, iif(i % 288 = 1, 'covered', 'opened'), 'leeks' FROM n WHERE i % 144 = 1;
         INSERT INTO reading (entry, extreme, celsius, place, bed)
           SELECT i, iif(i % 144 = 0, 'minimum', 'now'), 5, 'open', 'leeks' FROM n WHERE i % 144 <> 1;
         COMMIT;"
    ))
    .expect("filled");
    drop(db);
    let site = Site::of(garden, &["--at", AFTERNOON]);
    site.ready();
    site.until("/diary", |a| a.body.contains("5"));
    site
}

/// The middle of how long each takes, the first left out: a note by page, the diary, the evening.
fn middles(site: &Site, rounds: u32) -> [Duration; 3] {
    let mut all: [Vec<Duration>; 3] = Default::default();
    for n in 0..rounds {
        let id = format!("{:032x}", 0xffff_0000_u32 + n);
        let fields = [("kind", "now"), ("bed", "leeks"), ("degrees", "6"), ("id", id.as_str())];
        let begun = Instant::now();
        assert_eq!(site.post("/diary", &fields).status, 303);
        all[0].push(begun.elapsed());
        for (place, page) in ["/diary", "/"].into_iter().enumerate() {
            let begun = Instant::now();
            assert_eq!(site.get(page).status, 200);
            all[place + 1].push(begun.elapsed());
        }
    }
    all.map(|mut times| {
        times.remove(0);
        times.sort_unstable();
        times[times.len() / 2]
    })
}

#[test]
fn two_hundred_thousand_notes_slow_nothing_down() {
    let (small, large) = (site(1_000), site(200_000));
    let (few, many) = (middles(&small, 15), middles(&large, 15));
    for ((what, limit), (few, many)) in [("a note", 50), ("the diary", 100), ("the evening", 100)]
        .into_iter()
        .zip(few.iter().zip(many))
    {
        println!("{what}: {few:?} with 1,000 notes, {many:?} with 200,000");
        let limit = Duration::from_millis(limit);
        // Within the limit, or, on a machine that is busy with other things, no slower than a small diary by that much.
        assert!(many < limit || many < *few + limit, "{what}: {few:?}, {many:?}");
    }
}
