//! `rimefold fetch` and the pages that fetch by themselves, against a small server of our own on the loopback.

use std::time::Duration;

use crate::diary::Garden;
use crate::harness::{Run, rimefold};
use crate::pages::Site;
use crate::station::{Answer, Server};

/// The garden of Wisconsin with a `[forecast]` and none beside it; its own forecast's bytes.
fn garden(forecast: &str) -> (Garden, Vec<u8>) {
    let garden = Garden::new("wisconsin");
    let file = std::fs::read_to_string(garden.path.join("garden.toml")).expect("a file");
    garden.write("garden.toml", format!("{file}\n[forecast]\n{forecast}"));
    let bytes = std::fs::read(garden.path.join("forecast.json")).expect("a forecast");
    std::fs::remove_file(garden.path.join("forecast.json")).expect("removed");
    (garden, bytes)
}

fn fetch(garden: &Garden, server: &str) -> Run {
    fetch_within(garden, server, "20")
}

fn fetch_within(garden: &Garden, server: &str, seconds: &str) -> Run {
    let folder = garden.path.display().to_string();
    rimefold(&["fetch", &folder, "--from", server, "--pause", "0.01", "--timeout", seconds])
}

const OPEN: &str = "from = \"open-meteo\"\n";

fn whole(bytes: &[u8]) -> Answer {
    let headers = "Content-Type: application/json\r\nETag: \"one\"\r\nLast-Modified: Fri, 14 May 2027 18:20:00 GMT\r\n";
    Answer::Whole("200 OK", headers.into(), bytes.to_vec())
}

fn status(line: &'static str, headers: &str) -> Answer {
    Answer::Whole(line, headers.into(), Vec::new())
}

/// As the services document them (from memory); two of them ask for no more than four decimals.
#[test]
fn addresses_are_those_of_the_services() {
    let shown = |forecast: &str| {
        let (garden, _) = garden(forecast);
        rimefold(&["fetch", &garden.path.display().to_string(), "--show"]).code(0).out
    };
    let contact = "contact = \"me@example.org\"\n";
    let us = shown(&format!("from = \"us weather service\"\n{contact}"));
    assert_eq!(us, "https://api.weather.gov/points/43.6,-90.9\n");
    let norway = shown(&format!("from = \"met norway\"\n{contact}"));
    assert_eq!(
        norway,
        "https://api.met.no/weatherapi/locationforecast/2.0/complete?lat=43.6&lon=-90.9&altitude=320\n"
    );
    let open = shown(OPEN);
    assert!(open.starts_with("https://api.open-meteo.com/v1/forecast?latitude=43.6&longitude=-90.9&elevation=320&hourly="), "{open}");
    for element in ["temperature_2m", "dew_point_2m", "wind_speed_10m", "cloud_cover", "snowfall"] {
        assert!(open.contains(element), "{open}");
    }
    let own = shown("from = \"address\"\naddress = \"https://example.org/garden.csv\"\n");
    assert_eq!(own, "https://example.org/garden.csv\n");
}

#[test]
fn a_forecast_is_fetched_named_and_asked_for_again_by_its_version() {
    let (garden, bytes) = garden(OPEN);
    let server = Server::new(vec![whole(&bytes), status("304 Not Modified", ""), whole(&bytes)]);
    let first = fetch(&garden, &server.address).code(0);
    assert!(first.out.starts_with("Fetched ") && first.out.contains("issued"), "{}", first.out);
    assert_eq!(std::fs::read(garden.path.join("forecast.json")).expect("kept"), bytes);
    let again = fetch(&garden, &server.address).code(0);
    assert!(again.out.contains("nothing newer"), "{}", again.out);
    let heads = server.heads();
    assert!(heads[0].contains("user-agent: rimefold/"), "{}", heads[0]);
    assert!(heads[1].contains("if-none-match: \"one\""), "{}", heads[1]);
    assert!(heads[1].contains("if-modified-since: fri, 14 may 2027 18:20:00 gmt"), "{}", heads[1]);
    let folder = garden.path.display().to_string();
    rimefold(&["tonight", &folder, "--at", "2027-05-14T16:00"]).code(0);
}

#[test]
fn the_us_service_is_asked_for_its_grid_first_and_told_who_asks() {
    let (garden, bytes) = garden("from = \"us weather service\"\ncontact = \"me@example.org\"\n");
    let point =
        br#"{"properties": {"forecastGridData": "https://api.weather.gov/gridpoints/ARX/70,40"}}"#;
    let server = Server::new(vec![whole(point), whole(&bytes)]);
    fetch(&garden, &server.address).code(0);
    let heads = server.heads();
    assert!(heads[0].starts_with("get /points/43.6,-90.9 "), "{}", heads[0]);
    assert!(heads[0].contains("me@example.org"), "{}", heads[0]);
    assert!(heads[1].starts_with("get /gridpoints/arx/70,40 "), "{}", heads[1]);
    // Without saying who asks the file is not sound.
    let (nameless, _) = self::garden("from = \"us weather service\"\n");
    let run = fetch(&nameless, &server.address).code(3);
    assert!(run.err.contains("contact"), "{}", run.err);
}

#[test]
fn trouble_is_told_and_the_last_good_forecast_kept() {
    let (garden, bytes) = garden(OPEN);
    let kept = garden.path.join("forecast.json");
    std::fs::write(&kept, &bytes).expect("written");
    let cases: Vec<(Vec<Answer>, &str)> = vec![
        (vec![status("404 Not Found", "")], "does the service know the garden's place?"),
        (vec![status("403 Forbidden", "")], "the server answers 403"),
        (
            vec![Answer::Whole("200 OK", String::new(), b"<html>down</html>".to_vec())],
            "is not a forecast of this garden",
        ),
        (
            vec![status("302 Found", "Location: http://elsewhere.invalid/x\r\n")],
            "sends us on to http://elsewhere.invalid/x (302), where we do not follow",
        ),
        (
            (0..4).map(|_| status("503 Service Unavailable", "Retry-After: 0\r\n")).collect(),
            "the server answers 503; tried 4 times",
        ),
        ((0..4).map(|_| status("429 Too Many Requests", "Retry-After: 0\r\n")).collect(), "429"),
        (
            (0..4).map(|_| Answer::Silence(Duration::from_millis(1500))).collect(),
            "no answer in 1 s",
        ),
        (
            (0..4)
                .map(|_| Answer::Cut(String::new(), bytes.len(), bytes[..900].to_vec()))
                .collect(),
            "the connection was lost",
        ),
        (vec![Answer::Cut(String::new(), 11 << 20, b"{".to_vec())], "larger than 10 MB"),
    ];
    for (answers, words) in cases {
        let server = Server::new(answers);
        let seconds = if words.contains("no answer") { "1" } else { "20" };
        let run = fetch_within(&garden, &server.address, seconds).code(7);
        assert!(run.err.contains(words), "{words}: {}", run.err);
        assert_eq!(std::fs::read(&kept).expect("kept"), bytes, "{words}");
    }
    // A server that does not speak TLS.
    let server = Server::new(vec![whole(&bytes), whole(&bytes), whole(&bytes), whole(&bytes)]);
    let run = fetch(&garden, &server.address.replace("http:", "https:")).code(7);
    println!("{}", run.err);
    assert_eq!(std::fs::read(&kept).expect("kept"), bytes);
    // For a place far away.
    let far = String::from_utf8(bytes.clone()).expect("text").replace("43.6", "23.6");
    let server = Server::new(vec![whole(far.as_bytes())]);
    let run = fetch(&garden, &server.address).code(7);
    assert!(run.err.contains("is for a place"), "{}", run.err);
    // After a pause that the server asked for it goes on.
    let server =
        Server::new(vec![status("429 Too Many Requests", "Retry-After: 1\r\n"), whole(&bytes)]);
    fetch(&garden, &server.address).code(0);
}

#[test]
fn nothing_is_fetched_where_the_file_does_not_say_so() {
    let plain = Garden::new("wisconsin");
    let server = Server::new(vec![]);
    let run = fetch(&plain, &server.address).code(2);
    assert!(run.err.contains("does not say from where"), "{}", run.err);
    assert!(server.heads().is_empty());
}

#[test]
fn the_pages_fetch_by_themselves_and_tell_when_they_cannot() {
    let bytes = garden(OPEN).1;
    let server = Server::new(vec![whole(&bytes)]);
    let from = |address: &str| format!("from = \"address\"\naddress = \"{address}/f.json\"\n");
    let (served, _) = garden(&from(&server.address));
    let site = Site::of(served, &["--at", "2027-05-14T16:00"]);
    site.until("/", |a| a.body.contains("Start") || a.body.contains("start by"));
    assert_eq!(server.heads().len(), 1, "asked once");
    let (dead, _) = garden(&from("http://127.0.0.1:9"));
    dead.write("forecast.json", &bytes);
    // Older than an hour: it is asked for anew.
    let old = std::time::SystemTime::now() - Duration::from_secs(7200);
    let file = std::fs::File::options().write(true).open(dead.path.join("forecast.json"));
    file.and_then(|f| f.set_modified(old)).expect("aged");
    let site = Site::of(dead, &["--at", "2027-05-14T16:00"]);
    site.until("/", |a| a.body.contains("No newer forecast since"));
}
