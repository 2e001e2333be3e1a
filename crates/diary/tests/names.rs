//! Names of entries: random ones, those of rows that came without one, and taking back by the first digits.

use diary::entry::{Entry, What};
use diary::exchange::csv::{self, Given};
use diary::{Diary, Id};
use quantities::Moment;

use crate::id;

/// RFC 9562, section 5.4: version 4 in the four high bits of octet 6, variant 10 in the two high bits of octet 8.
#[test]
fn a_new_name_is_a_random_uuid_without_hyphens() {
    let all = |b: u8| Id::from_random([b; 16]).to_string();
    assert_eq!(all(0), "00000000000040008000000000000000");
    assert_eq!(all(0xff), "ffffffffffff4fffbfffffffffffffff");
    assert_eq!(Id::from_random([0xab; 16]).short(), "abababab");
}

#[test]
fn a_name_is_32_small_hexadecimal_digits() {
    for (text, good) in [
        ("0123456789abcdef0123456789abcdef", true),
        ("0123456789ABCDEF0123456789ABCDEF", false),
        ("0123456789abcdef0123456789abcde", false),
        ("01234567-89ab-cdef-0123-456789abcdef", false),
    ] {
        assert_eq!(Id::try_from(text.to_owned()).is_ok(), good, "{text}");
    }
}

/// The names that the first released program gave the same rows: a list taken in then is known again today.
#[test]
fn a_row_without_a_name_is_named_as_it_always_was() {
    let head = "at,what,bed,where,sheet,temperature_c,share,plan,task,note\n";
    let rows = [
        ("2026-04-01T05:00:00Z,minimum,,open,,-3.2,,,,\n", NAMES[0]),
        ("2026-04-02T05:00:00Z,minimum,leeks,open,,-1,,,,\n", NAMES[1]),
        (
            "2026-04-02T06:00:00Z,loss,kale,,,,0.25,,,\"two\nlines, \"\"quoted\"\" \\ très\"\n",
            NAMES[2],
        ),
        ("2026-04-02T07:00:00Z,covered,kale,,heavy 72,,,,,\n", NAMES[3]),
    ];
    for (row, name) in rows {
        let bytes = format!("{head}{row}").into_bytes();
        let given = Given { name: csv::FILES[0], shown: "mine.csv".into(), bytes };
        let all = csv::read(&[given]).expect("it reads");
        assert_eq!(all.notes[0].item.id.as_str(), name, "{row}");
    }
}

const NAMES: [&str; 4] = [
    "8ebdcd01817af79526aad3f3867196f2",
    "593b56ebc4c4e2b07775c8370d1b501a",
    "45cf57fd2dccf90846f9de6595995849",
    "0f299a953db531b1007fe8aee496d09f",
];

fn diary() -> (tempfile::TempDir, Diary) {
    let folder = tempfile::tempdir().expect("a folder");
    let diary = Diary::open(&diary::beside(&folder.path().join("garden.toml"))).expect("opened");
    (folder, diary)
}

fn voles(n: u128) -> Entry {
    let what = What::Seen { sighting: diary::entry::Sighting::Voles, bed: "kale".into() };
    Entry::new(id(n), Moment(7), Moment(7), what)
}

#[test]
fn an_entry_sent_twice_is_kept_once_and_taken_back_once() {
    let (_folder, mut diary) = diary();
    for _ in 0..2 {
        diary.add_once(&voles(1)).expect("added");
    }
    assert_eq!(diary.entries().expect("read").len(), 1);
    assert!(diary.add(&[voles(1)]).is_err(), "added as a new one it is refused");
    for n in [10, 11] {
        diary.undo_once(&id(1), id(n), Moment(20)).expect("taken back");
    }
    let entries = diary.entries().expect("read");
    assert_eq!(entries.len(), 2, "one undo");
    assert!(!entries[0].stands && entries[1].stands);
    assert!(!diary.undo(None, id(12), Moment(30)).expect_err("nothing left").is_bug());
}

#[test]
fn the_first_digits_name_an_entry_where_they_fit_one_only() {
    let (_folder, mut diary) = diary();
    diary.add(&[voles(0xa1_u128 << 120), voles(0xa2 << 120), voles(0xff << 120)]).expect("added");
    let undo =
        |d: &mut Diary, which: &str, n| d.undo(Some(which), id(n), Moment(9)).map(|u| u.1.id);
    for (which, words) in [
        ("a", "more than one"),
        ("b", "no entry's id begins"),
        ("%", "no entry's id begins"),
        ("g", "no entry's id begins"),
        ("", "no entry's id begins"),
    ] {
        let e = undo(&mut diary, which, 1).expect_err(which);
        assert!(!e.is_bug() && e.to_string().contains(words), "{which}: {e}");
    }
    assert_eq!(undo(&mut diary, "A1", 2).expect("one"), id(0xa1 << 120));
    assert_eq!(undo(&mut diary, "f", 3).expect("one"), id(0xff << 120));
    let e = undo(&mut diary, "a1", 4).expect_err("again");
    assert!(e.to_string().contains("taken back already"), "{e}");
}
