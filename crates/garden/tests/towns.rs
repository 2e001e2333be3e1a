//! Towns by name, against an atlas.

use garden::towns::{Town, called};

/// Atlas, from memory: Madison 43.1° N 89.4° W, Besançon 47.2° N 6.0° E, Dunedin 45.9° S 170.5° E, Graz 47.1° N 15.4° E.
#[test]
fn a_town_is_found_as_people_write_it() {
    for (words, told, north, east, zone) in [
        ("Madison", "Madison, WI, United States", 43.1, -89.4, "America/Chicago"),
        (
            "Madison, WI, United States",
            "Madison, WI, United States",
            43.1,
            -89.4,
            "America/Chicago",
        ),
        ("madison, al", "Madison, AL, United States", 34.7, -86.7, "America/Chicago"),
        (" besancon ", "Besançon, France", 47.2, 6.0, "Europe/Paris"),
        ("BESANÇON", "Besançon, France", 47.2, 6.0, "Europe/Paris"),
        ("Dunedin, New", "Dunedin, New Zealand", -45.9, 170.5, "Pacific/Auckland"),
        ("graz", "Graz, Austria", 47.1, 15.4, "Europe/Vienna"),
    ] {
        let found = called(words, 12);
        let first = found.first().unwrap_or_else(|| panic!("{words}"));
        assert_eq!((first.told().as_str(), first.zone), (told, zone), "{words}");
        let off = (first.latitude_deg - north).abs().max((first.longitude_deg - east).abs());
        assert!(off < 0.1, "{words}: {first:?}");
        assert_eq!(Town::of_row(first.row), Some(*first));
    }
    assert!(called("madison", 12)[0].is_us() && !called("graz", 12)[0].is_us());
}

#[test]
fn what_is_no_town_finds_none_and_a_few_letters_find_the_largest() {
    assert!(called("", 12).is_empty() && called(",", 12).is_empty());
    assert!(called("xqzv", 12).is_empty() && called("madison, france", 12).is_empty());
    let lon = called("lond", 3);
    assert_eq!((lon.len(), lon[0].told().as_str()), (3, "London, United Kingdom"));
}

/// Every line is whole, on the globe, and within the latitudes that a garden may have.
#[test]
fn every_town_of_the_list_can_be_read() {
    let mut rows = 0;
    while let Some(town) = Town::of_row(rows) {
        assert!(town.latitude_deg.abs() <= 66.0 && town.longitude_deg.abs() <= 180.0, "{town:?}");
        assert!(!town.name.is_empty() && town.zone.contains('/'), "{town:?}");
        rows += 1977;
    }
    assert!(rows > 30_000, "{rows}");
}
