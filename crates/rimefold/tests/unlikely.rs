//! What is asked about or refused: a forecast for another place, a record from the other half of the earth, a reading that
//! cannot be right.

use crate::diary::Garden;
use crate::harness::{Ask, Run};
use crate::pages::Site;

const AFTERNOON: &str = "2027-05-14T16:00";

/// The demonstration garden moved to another place; its forecast stays.
fn moved(latitude: f64, elevation_ft: f64) -> Garden {
    let garden = Garden::new("wisconsin");
    let file = std::fs::read_to_string(garden.path.join("garden.toml")).expect("a file");
    let there = file
        .replace("latitude = 43.6", &format!("latitude = {latitude}"))
        .replace("elevation_ft = 1050", &format!("elevation_ft = {elevation_ft}"));
    garden.write("garden.toml", there);
    garden
}

fn tonight(garden: &Garden, extra: &[&str]) -> Run {
    let folder = garden.path.display().to_string();
    Ask::new(&[&["tonight", &folder], extra].concat()).clock(AFTERNOON).run()
}

/// One degree of latitude is 111.2 km or 69 miles on a sphere of 6371 km.
#[test]
fn a_forecast_for_another_place_is_asked_about_and_far_away_refused() {
    let cases = [
        (43.2, 1050.0, None, ""),
        (43.1, 1050.0, Some(false), "34 miles away"),
        (43.6, 2050.0, Some(false), "1000 ft lower than the garden"),
        (39.0, 1050.0, Some(true), "318 miles away"),
    ];
    for (latitude, elevation_ft, told, words) in cases {
        let garden = moved(latitude, elevation_ft);
        let (plain, anyway) = (tonight(&garden, &[]), tonight(&garden, &["--anyway"]));
        match told {
            None => assert_eq!((plain.code, plain.err.as_str()), (0, "")),
            Some(useless) => {
                assert_eq!(plain.code, 6, "{latitude}: {}", plain.err);
                assert!(plain.err.contains(words), "{latitude}: {}", plain.err);
                assert_eq!(plain.err.contains("--anyway"), !useless, "{}", plain.err);
                assert_eq!(anyway.code, if useless { 6 } else { 0 }, "{latitude}: {}", anyway.err);
                assert!(anyway.err.contains(words), "{latitude}: {}", anyway.err);
            }
        }
    }
}

#[test]
fn a_tick_on_the_page_accepts_the_place_for_good_and_for_the_terminal_too() {
    let site = Site::of(moved(43.1, 1050.0), &["--at", AFTERNOON]);
    site.ready();
    let asked = site.get("/").body;
    assert!(asked.contains("34 miles away"), "{asked}");
    assert!(!asked.contains("--anyway"), "{asked}");
    assert_eq!(site.post("/forecast/place", &[("serves", "")]).status, 303);
    site.ready();
    assert!(site.get("/").body.contains("action=\"/forecast/place\""), "nothing was ticked");
    assert_eq!(site.post("/forecast/place", &[("serves", "1")]).status, 303);
    site.ready();
    let plan = site.get("/").body;
    assert!(plan.contains("Start") || plan.contains("start by"), "{plan}");
    assert!(plan.contains("34 miles away"), "it is still told: {plan}");
    let terminal = tonight(&site.garden, &[]).code(0);
    assert!(terminal.err.contains("34 miles away"), "{}", terminal.err);
}

#[test]
fn the_first_lines_tell_how_old_the_forecast_is() {
    let garden = Garden::new("wisconsin");
    let first = |at: &str| {
        let folder = garden.path.display().to_string();
        let out = Ask::new(&["tonight", &folder]).clock(at).run().code(0).out;
        out.split("\n\n").next().unwrap_or_default().replace('\n', " ")
    };
    // Its own time is 18:20 UTC, 1:20 pm in Chicago.
    assert!(first("2027-05-14T16:00").contains("Forecast of 1:20 pm, 3 hours old."));
    assert!(first("2027-05-15T18:00").contains("The forecast is 1 day old: fetch a new one."));
}

/// January is the coldest month north of the tropics and July south of them.
#[test]
fn a_record_whose_seasons_are_turned_is_refused_with_the_reason() {
    let (_folder, path) = crate::harness::with_three_years("wisconsin");
    let file = format!("{path}/garden.toml");
    let text = std::fs::read_to_string(&file).expect("a garden");
    std::fs::write(&file, text.replace("latitude = 43.6", "latitude = -43.6")).expect("written");
    for verb in ["year", "replay"] {
        let run = Ask::new(&[verb, &path]).run();
        assert_eq!(run.code, 6, "{verb}: {}", run.err);
        assert!(run.err.contains("sign of the garden's latitude"), "{verb}: {}", run.err);
    }
}

#[test]
fn an_unlikely_reading_is_asked_about_and_an_impossible_one_refused() {
    let garden = Garden::new("jura");
    garden.noted(&["--at", "2027-05-14T06:00", "reading", "--min", "2"]);
    for impossible in ["-61", "61"] {
        let run = garden.note(&["reading", "--min", impossible]);
        assert_eq!(run.code, 2, "{impossible}: {}", run.err);
    }
    let slip = ["--at", "2027-05-15T06:00", "reading", "--min", "-7"];
    let asked = garden.note(&slip);
    assert_eq!(asked.code, 2, "{}", asked.err);
    assert!(asked.err.contains("9 °C colder than anything near"), "{}", asked.err);
    assert_eq!(garden.list().len(), 1, "nothing is kept");
    garden.noted(&[&slip[..], &["--anyway"]].concat());
    garden.noted(&["--at", "2027-06-20T06:00", "reading", "--min", "-7"]);
    assert_eq!(garden.list().len(), 3, "a month on nothing is near");
}

#[test]
fn the_page_asks_about_an_unlikely_reading_and_takes_it_when_it_is_said_to_be_right() {
    let site = Site::of(Garden::new("jura"), &["--at", "2027-05-15T07:00"]);
    site.ready();
    let reading = |degrees: &'static str, anyway: &'static str| {
        let fields = [
            ("group", "reading"),
            ("kind", "minimum"),
            ("degrees", degrees),
            ("place", "open"),
            ("anyway", anyway),
        ];
        site.post("/diary", &fields)
    };
    assert_eq!(reading("2", "").status, 303);
    let asked = reading("-7", "");
    assert_eq!(asked.status, 422);
    assert!(asked.body.contains("name=\"anyway\""), "{}", asked.body);
    assert!(asked.body.contains("colder than anything near"), "{}", asked.body);
    assert_eq!(reading("-7", "1").status, 303);
    assert_eq!(site.notes().len(), 2);
}
