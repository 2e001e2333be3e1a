//! Nights on which clocks change, by the pages; what is ticked off belongs to the right evening.

use super::{Site, plain};
use crate::diary::Garden;

/// Hours of a clear cold stretch in UTC, from midnight of a day on, as warm in the mean and coldest at such an hour; its own invention.
fn forecast(from: &str, hours: i32, (mean_c, coldest_utc_h): (f64, f64)) -> String {
    let start: jiff::Timestamp = format!("{from}T00:00Z").parse().expect("a day");
    let mut out = "time,air_temperature_c,dew_point_c,wind_speed_m_s,cloud_pct\n".to_owned();
    for n in 0..hours {
        let at = start + jiff::SignedDuration::from_hours(i64::from(n));
        let hour = f64::from(n % 24);
        let air = mean_c - 5.0 * ((hour - coldest_utc_h) * std::f64::consts::TAU / 24.0).cos();
        out += &format!("{at},{air:.1},-4,1,5\n");
    }
    out
}

/// The pages of a demonstration garden in another night, its plants there and its clock so.
fn night(demo: &str, first_day: &str, at: &str) -> Site {
    let garden = Garden::new(demo);
    for old in ["forecast.json", "past.csv"] {
        let _ = std::fs::remove_file(garden.path.join(old));
    }
    // What stands there can still be saved in the small hours.
    let course = if demo == "jura" { (5.2, 8.0) } else { (3.0, 10.0) };
    garden.write("forecast.csv", forecast(first_day, 5 * 24, course));
    let site = Site::of(garden, &["--at", at]);
    site.ready();
    site
}

/// Text of a page without its tags.
fn text(html: &str) -> String {
    let words = html.split('<').filter_map(|p| p.split_once('>')).map(|(_, t)| t);
    plain(&words.collect::<Vec<_>>().join(" "))
}

/// A night: garden, its latitude and longitude in degrees, first day of the forecast, day, day of the year, how it is
/// shown, hours that the local clock is ahead of UTC in the evening and the morning after.
struct Turn {
    demo: &'static str,
    place: (f64, f64),
    first: &'static str,
    day: &'static str,
    ordinal: f64,
    shown: &'static str,
    ahead_h: (f64, f64),
}

/// Clocks go forward at 2:00 on 14 March 2027 and back at 2:00 on 7 November in Chicago: 15 U.S.C. 260a. In Paris they
/// do at 1:00 UTC on the last Sundays of March and October, the 28th and the 31st: Directive 2000/84/EC.
const TURNS: [Turn; 6] = [
    turn("wisconsin", "2027-03-12", "2027-03-13", 72.0, "Saturday 13 March", (-6.0, -5.0)),
    turn("wisconsin", "2027-03-12", "2027-03-14", 73.0, "Sunday 14 March", (-5.0, -5.0)),
    turn("wisconsin", "2027-11-05", "2027-11-06", 310.0, "Saturday 6 November", (-5.0, -6.0)),
    turn("wisconsin", "2027-11-05", "2027-11-07", 311.0, "Sunday 7 November", (-6.0, -6.0)),
    turn("jura", "2027-03-26", "2027-03-27", 86.0, "Saturday 27 March", (1.0, 2.0)),
    turn("jura", "2027-10-29", "2027-10-30", 303.0, "Saturday 30 October", (2.0, 1.0)),
];

const fn turn(
    demo: &'static str,
    first: &'static str,
    day: &'static str,
    ordinal: f64,
    shown: &'static str,
    ahead_h: (f64, f64),
) -> Turn {
    let place = if demo.len() == 4 { (46.75, 5.9) } else { (43.6, -90.9) };
    Turn { demo, place, first, day, ordinal, shown, ahead_h }
}

/// Minutes after midnight UTC when the sun sets (`side` 1) or rises (−1): NOAA Global Monitoring Laboratory, *General Solar Position
/// Calculations*, good to a few minutes.
fn sun_min(ordinal: f64, (latitude, longitude): (f64, f64), side: f64) -> f64 {
    let g = std::f64::consts::TAU / 365.0 * (ordinal - 1.0 + 6.0 / 24.0);
    let equation = 229.18
        * (0.000_075 + 0.001_868 * g.cos()
            - 0.032_077 * g.sin()
            - 0.014_615 * (2.0 * g).cos()
            - 0.040_849 * (2.0 * g).sin());
    let decline = 0.006_918 - 0.399_912 * g.cos() + 0.070_257 * g.sin()
        - 0.006_758 * (2.0 * g).cos()
        + 0.000_907 * (2.0 * g).sin()
        - 0.002_697 * (3.0 * g).cos()
        + 0.001_48 * (3.0 * g).sin();
    let phi = latitude.to_radians();
    let hour = ((90.833_f64).to_radians().cos() / (phi.cos() * decline.cos())
        - phi.tan() * decline.tan())
    .acos();
    720.0 - 4.0 * (longitude - side * hour.to_degrees()) - equation
}

/// Minutes after midnight of the first time after a word: `7:04 pm`, `19:04`.
fn time_after(text: &str, word: &str) -> Option<f64> {
    let said = text.split(word).nth(1)?.trim_start();
    let (hour, rest) = said.split_once(':')?;
    let hour: f64 = hour.parse().ok()?;
    let minute: f64 = rest.get(..2)?.parse().ok()?;
    let half = rest.get(2..5).unwrap_or_default().trim();
    let hour = match half {
        "pm" if hour < 12.0 => hour + 12.0,
        "am" if hour == 12.0 => 0.0,
        _ => hour,
    };
    Some(hour * 60.0 + minute)
}

#[test]
fn nights_when_clocks_change_show_local_times() {
    for t in &TURNS {
        let site = night(t.demo, t.first, &format!("{}T15:00", t.day));
        let tonight = text(&site.get("/").body);
        assert!(tonight.contains(&format!("Tonight, {}", t.shown)), "{}: {tonight}", t.day);
        let sheet = text(&site.get("/print/night").body);
        let told = time_after(&sheet, "Sunset").expect("a sunset");
        let expected = sun_min(t.ordinal, t.place, 1.0) + t.ahead_h.0 * 60.0;
        assert!((told - expected).abs() < 4.0, "{}: {told} {expected}", t.day);
        let run = crate::harness::rimefold(&[
            "tonight",
            &site.garden.path.display().to_string(),
            "--at",
            &format!("{}T15:00", t.day),
            "--json",
        ]);
        let json: serde_json::Value = serde_json::from_str(&run.out).expect("JSON");
        let rise: jiff::Timestamp =
            json["sunrise"].as_str().expect("a sunrise").parse().expect("a time");
        let told = rise.as_second().rem_euclid(86_400) as f64 / 60.0;
        let expected = sun_min(t.ordinal + 1.0, t.place, -1.0);
        assert!((told - expected).abs() < 4.0, "{}: {told} {expected}", t.day);
        // The work is told in the clock of the evening: after it was asked for, before it is dark.
        let by = time_after(&tonight, " by ").expect("something to cover");
        let sunset = sun_min(t.ordinal, t.place, 1.0) + t.ahead_h.0 * 60.0;
        assert!((15.0 * 60.0..sunset + 45.0).contains(&by), "{}: {by} {sunset}", t.day);
    }
}

#[test]
fn the_night_ahead_of_a_change_is_there_once_and_in_order() {
    for (demo, first, at, days) in [
        ("wisconsin", "2027-03-12", "2027-03-13T15:00", ["Sat 13 Mar", "Sun 14 Mar", "Mon 15 Mar"]),
        ("wisconsin", "2027-11-05", "2027-11-06T15:00", ["Sat 6 Nov", "Sun 7 Nov", "Mon 8 Nov"]),
        ("jura", "2027-10-29", "2027-10-30T15:00", ["Sat 30 Oct", "Sun 31 Oct", "Mon 1 Nov"]),
    ] {
        let site = night(demo, first, at);
        let page = site.get("/nights").body;
        let heads: Vec<String> =
            page.split("<th").skip(1).map(|h| text(&format!("<th{h}"))).collect();
        let places: Vec<Option<usize>> =
            days.iter().map(|d| heads.iter().position(|h| h.contains(d))).collect();
        assert!(places.is_sorted() && places.iter().all(Option::is_some), "{places:?} {heads:?}");
        for day in days {
            assert_eq!(heads.iter().filter(|h| h.contains(day)).count(), 1, "{day} {heads:?}");
        }
    }
}

#[test]
fn what_is_done_in_the_dark_belongs_to_the_evening_before() {
    for (demo, first, at, shown, evening) in [
        ("wisconsin", "2027-03-12", "2027-03-13T23:30", "Saturday 13 March", "2027-03-13"),
        ("wisconsin", "2027-03-12", "2027-03-14T00:30", "Saturday 13 March", "2027-03-13"),
        // Half past two is not there that night, half past three is.
        ("wisconsin", "2027-03-12", "2027-03-14T03:30", "Saturday 13 March", "2027-03-13"),
        ("wisconsin", "2027-11-05", "2027-11-07T00:30", "Saturday 6 November", "2027-11-06"),
        // Half past one is there twice.
        ("wisconsin", "2027-11-05", "2027-11-07T01:30-05:00", "Saturday 6 November", "2027-11-06"),
        ("wisconsin", "2027-11-05", "2027-11-07T01:30-06:00", "Saturday 6 November", "2027-11-06"),
        ("jura", "2027-10-29", "2027-10-31T02:30+01:00", "Saturday 30 October", "2027-10-30"),
    ] {
        let site = night(demo, first, at);
        let before = text(&site.get("/").body);
        assert!(before.contains(&format!("Tonight, {shown}")), "{at}: {before}");
        assert!(site.get("/").body.contains("action=\"/cover\""), "{at}: {before}");
        let form = super::form(&site.get("/").body, "/cover");
        let sent: Vec<(&str, &str)> = form.iter().map(|f| (f.0.as_str(), f.1.as_str())).collect();
        assert!(sent.contains(&("act", "covered")), "{at}: there is something to cover");
        assert_eq!(site.post("/cover", &sent).status, 303);
        assert!(text(&site.get("/").body).contains("✓ covered, "), "{at}");
        let db = rusqlite::Connection::open(site.garden.database()).expect("it opens");
        let kept: String = db
            .query_row("SELECT night FROM plan ORDER BY number LIMIT 1", [], |r| r.get(0))
            .expect("a plan");
        assert_eq!(kept, evening, "{at}");
    }
}

#[test]
fn a_time_that_is_not_there_or_there_twice_is_taken_somehow_and_told() {
    let noted = |demo, first, at, day, time| {
        let site = night(demo, first, at);
        let sent = [
            ("group", "reading"),
            ("kind", "minimum"),
            ("degrees", "1"),
            ("day", day),
            ("time", time),
        ];
        let answer = site.post("/diary", &sent);
        assert_eq!(answer.status, 303, "{:?}", super::marked(&answer.body));
        let db = rusqlite::Connection::open(site.garden.database()).expect("it opens");
        let at: i64 = db.query_row("SELECT at FROM entry", [], |r| r.get(0)).expect("a note");
        jiff::Timestamp::from_second(at).expect("a moment").to_string()
    };
    // RFC 5545, 3.3.5: a local time that is not there is read with the offset before the gap, one that is there twice
    // is the first.
    let gap = noted("wisconsin", "2027-03-12", "2027-03-14T15:00", "2027-03-14", "02:30");
    assert_eq!(gap, "2027-03-14T08:30:00Z");
    let twice = noted("wisconsin", "2027-11-05", "2027-11-07T15:00", "2027-11-07", "01:30");
    assert_eq!(twice, "2027-11-07T06:30:00Z");
}

/// One sheet, on kale that hardly needs it: the page says that it is taken off and laid on the strawberries, on paper too, and
/// it can be ticked off. Expected from what each stage stands, kale far more than open bloom: docs/crops.md.
#[test]
fn what_is_taken_off_stands_in_the_list() {
    let garden = Garden::new("wisconsin");
    let text = std::fs::read_to_string(garden.path.join("garden.toml")).expect("the garden");
    let mut text = text.replace("count = 5", "count = 1");
    for several in ["count = 3", "count = 2"] {
        text = text.replace(several, "count = 0");
    }
    let kale = text.find("name = \"kale\"").expect("kale");
    let at = kale + text[kale..].find("[[bed.planting]]").expect("its planting");
    text.insert_str(at, "[bed.on_now]\nsheet = \"heavy 72\"\nlayers = 1\n");
    garden.write("garden.toml", &text);
    let site = Site::of(garden, &["--at", "2027-05-14T16:00"]);
    site.ready();
    let page = site.get("/").body;
    assert!(page.contains("take off what lies"), "{page}");
    assert!(text_of(&site, "/print/night").to_lowercase().contains("take off what lies"));
    let row = page.find("aria-label=\"kale: what lay there is taken off\"").expect("its button");
    let form = page[..row].rfind("<form").expect("its form");
    let sent = super::form(&page[form..], "/cover");
    let sent: Vec<(&str, &str)> = sent.iter().map(|f| (f.0.as_str(), f.1.as_str())).collect();
    assert!(sent.contains(&("bed", "kale")) && sent.contains(&("act", "opened")), "{sent:?}");
    assert_eq!(site.post("/cover", &sent).status, 303);
    site.until("/diary", |a| plain(&a.body).contains("kale"));
}

fn text_of(site: &Site, path: &str) -> String {
    text(&site.get(path).body)
}
