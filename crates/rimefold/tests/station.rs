//! `rimefold station` against a small server of our own on the loopback, and a list of invented stations.

use std::fmt::Write as _;
use std::io::{BufRead as _, BufReader, Write as _};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use crate::harness::{Run, rimefold, root};

const ID: &str = "USC00000001";

/// What the server does with one request, given what was asked.
pub enum Answer {
    /// Status line, headers, body.
    Whole(&'static str, String, Vec<u8>),
    /// Says that `length` bytes come, sends these and hangs up.
    Cut(String, usize, Vec<u8>),
    /// Takes the question and says nothing for a while.
    Silence(Duration),
}

/// A server that gives its answers in order and keeps the heads of the questions.
pub struct Server {
    pub address: String,
    heads: Arc<Mutex<Vec<String>>>,
}

impl Server {
    pub fn new(answers: Vec<Answer>) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
        let address = format!("http://{}", listener.local_addr().expect("an address"));
        let heads = Arc::new(Mutex::new(Vec::new()));
        let kept = Arc::clone(&heads);
        std::thread::spawn(move || {
            for answer in answers {
                let Ok((stream, _)) = listener.accept() else { return };
                serve(stream, &answer, &kept);
            }
        });
        Self { address, heads }
    }

    pub fn heads(&self) -> Vec<String> {
        self.heads.lock().expect("the heads").clone()
    }
}

fn serve(stream: TcpStream, answer: &Answer, heads: &Mutex<Vec<String>>) {
    let mut head = String::new();
    let mut lines = BufReader::new(stream.try_clone().expect("a stream"));
    while lines.read_line(&mut head).is_ok_and(|n| n > 2) {}
    heads.lock().expect("the heads").push(head.to_lowercase());
    let mut stream = stream;
    let mut send = |status: &str, headers: &str, length: usize, body: &[u8]| {
        let start = format!(
            "HTTP/1.1 {status}\r\nContent-Length: {length}\r\nConnection: close\r\n{headers}\r\n"
        );
        let _ = stream.write_all(start.as_bytes()).and_then(|()| stream.write_all(body));
    };
    match answer {
        Answer::Whole(status, headers, body) => send(status, headers, body.len(), body),
        Answer::Cut(headers, length, body) => send("200 OK", headers, *length, body),
        Answer::Silence(time) => std::thread::sleep(*time),
    }
}

/// An invented record: frost until 25 April plus the year's last digit, from 5 October minus it.
pub fn record() -> Vec<u8> {
    record_where(|_| true)
}

/// The same with frost only in some cold seasons, named for the year in which they begin.
fn record_where(freezes: impl Fn(i16) -> bool) -> Vec<u8> {
    let mut csv = String::from("STATION,DATE,LATITUDE,LONGITUDE,ELEVATION,NAME,TMAX,TMIN\n");
    for year in 1990..2024_i16 {
        let shift = i64::from(year % 10);
        let spring = jiff::civil::date(year, 4, 25).saturating_add(jiff::Span::new().days(shift));
        let autumn = jiff::civil::date(year, 10, 5).saturating_sub(jiff::Span::new().days(shift));
        let mut day = jiff::civil::date(year, 1, 1);
        while day.year() == year {
            let cold = freezes(year - 1) && day <= spring || freezes(year) && day >= autumn;
            let (max, min) = if cold { (80, -11) } else { (220, 90) };
            let _ = writeln!(
                csv,
                "\"{ID}\",\"{day}\",\"43.6\",\"-90.9\",\"320.0\",\"INVENTED HILL\",\"{max}\",\"{min}\""
            );
            day = day.tomorrow().expect("a day");
        }
    }
    csv.into_bytes()
}

/// An own copy of the demonstration garden.
fn garden() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let from = root().join("demo/wisconsin/garden.toml");
    std::fs::copy(from, folder.path().join("garden.toml")).expect("a copy");
    folder
}

fn fetch(garden: &Path, server: &Server, extra: &[&str]) -> Run {
    let path = garden.to_str().expect("text");
    let fixed = ["station", "fetch", path, ID, "--from", &server.address, "--pause", "0.01"];
    rimefold(&[&fixed[..], extra].concat())
}

fn kept(garden: &Path) -> PathBuf {
    garden.join("station").join(format!("{ID}.csv"))
}

fn etag(tag: &str) -> String {
    format!("ETag: \"{tag}\"\r\nLast-Modified: Wed, 05 Jan 2028 06:07:08 GMT\r\n")
}

fn whole(tag: &str) -> Answer {
    Answer::Whole("200 OK", etag(tag), record())
}

fn status(line: &'static str) -> Answer {
    Answer::Whole(line, String::new(), b"words".to_vec())
}

#[test]
fn a_record_is_fetched_named_and_not_fetched_twice() {
    let garden = garden();
    let server = Server::new(vec![whole("one"), status("304 Not Modified"), whole("two")]);
    let run = fetch(garden.path(), &server, &[]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert_eq!(std::fs::read(kept(garden.path())).expect("there"), record());
    let text = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in
        ["INVENTED HILL", "1990-01-01 to 2023-12-31", "in half the years", "clear calm nights"]
    {
        assert!(text.contains(words), "{words}:\n{}", run.out);
    }
    assert!(run.out.lines().skip(1).all(|l| l.chars().count() <= 80), "{}", run.out);
    let again = fetch(garden.path(), &server, &[]);
    assert_eq!(
        (again.code, again.out.contains("is as the server has it")),
        (0, true),
        "{}",
        again.err
    );
    let heads = server.heads();
    assert!(heads[0].contains(&format!("get /{} http/1.1", format!("{ID}.csv").to_lowercase())));
    assert!(heads[0].contains("user-agent: rimefold/") && !heads[0].contains("if-none-match"));
    assert!(
        heads[1].contains("if-none-match: \"one\"") && heads[1].contains("if-modified-since: wed")
    );
    // A record that was spoilt on disk is asked for whole.
    std::fs::write(kept(garden.path()), "spoilt").expect("written");
    assert_eq!(fetch(garden.path(), &server, &[]).code, 0);
    assert!(!server.heads()[2].contains("if-none-match"));
    assert_eq!(std::fs::read(kept(garden.path())).expect("there"), record());
}

#[test]
fn a_missing_station_is_not_asked_for_again() {
    let garden = garden();
    let server = Server::new(vec![status("404 Not Found"), whole("one")]);
    let run = fetch(garden.path(), &server, &[]);
    assert_eq!((run.code, server.heads().len()), (7, 1), "{}", run.err);
    assert!(run.err.contains("is the station's identifier right?"), "{}", run.err);
    assert!(!kept(garden.path()).exists());
}

#[test]
fn a_server_in_trouble_is_asked_again_a_few_times() {
    let garden = garden();
    let server = Server::new(vec![status("500 Internal Server Error"), whole("one")]);
    assert_eq!(fetch(garden.path(), &server, &[]).code, 0);
    assert_eq!(server.heads().len(), 2);
    let broken = Server::new((0..9).map(|_| status("503 Service Unavailable")).collect());
    let run = fetch(garden.path(), &broken, &[]);
    assert_eq!((run.code, broken.heads().len()), (7, 4), "{}", run.err);
    assert!(run.err.contains("503") && run.err.contains("tried 4 times"), "{}", run.err);
}

#[test]
fn half_a_record_is_gone_on_with() {
    let garden = garden();
    let all = record();
    let half = all.len() / 2;
    let rest =
        format!("Content-Range: bytes {half}-{}/{}\r\n{}", all.len() - 1, all.len(), etag("one"));
    let server = Server::new(vec![
        Answer::Cut(etag("one"), all.len(), all[..half].to_vec()),
        Answer::Whole("206 Partial Content", rest, all[half..].to_vec()),
    ]);
    let run = fetch(garden.path(), &server, &[]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert_eq!(std::fs::read(kept(garden.path())).expect("there"), all);
    let asked = &server.heads()[1];
    assert!(asked.contains(&format!("range: bytes={half}-")), "{asked}");
    assert!(asked.contains("if-range: \"one\""), "{asked}");
    let left = std::fs::read_dir(garden.path().join("station")).expect("a folder").count();
    assert_eq!(left, 2, "the record and the note of its version");
}

/// The file changed while half of it lay here: the server sends the new one whole.
#[test]
fn half_of_an_older_version_is_thrown_away() {
    let garden = garden();
    let all = record();
    let server = Server::new(vec![
        Answer::Cut(etag("one"), all.len() + 7, b"STATION,DATE,something older".to_vec()),
        whole("two"),
    ]);
    assert_eq!(fetch(garden.path(), &server, &[]).code, 0);
    assert_eq!(std::fs::read(kept(garden.path())).expect("there"), all);
}

/// A server that goes on at another byte, and one that has no more: the half is thrown away and all is asked for.
#[test]
fn a_half_that_does_not_fit_is_thrown_away() {
    let all = record();
    let elsewhere = format!("Content-Range: bytes 0-9/{}\r\n{}", all.len(), etag("one"));
    for answer in [
        Answer::Whole("206 Partial Content", elsewhere, all[..10].to_vec()),
        status("416 Range Not Satisfiable"),
    ] {
        let garden = garden();
        let cut = Answer::Cut(etag("one"), all.len(), all[..1000].to_vec());
        let server = Server::new(vec![cut, answer, whole("one")]);
        assert_eq!(fetch(garden.path(), &server, &[]).code, 0);
        assert!(!server.heads()[2].contains("range: bytes"), "{}", server.heads()[2]);
        assert_eq!(std::fs::read(kept(garden.path())).expect("there"), all);
    }
}

#[test]
fn too_large_a_file_is_not_taken() {
    let garden = garden();
    let server = Server::new(vec![Answer::Cut(etag("one"), (64 << 20) + 1, b"STATION".to_vec())]);
    let run = fetch(garden.path(), &server, &[]);
    assert_eq!((run.code, server.heads().len()), (7, 1), "{}", run.err);
    assert!(run.err.contains("larger than 64 MB"), "{}", run.err);
    let left = std::fs::read_dir(garden.path().join("station")).expect("a folder").count();
    assert_eq!(left, 0);
}

/// RFC 9110, 10.2.3: the server says how long to wait; else this would take a minute.
#[test]
fn the_servers_own_pause_is_kept() {
    let garden = garden();
    let path = garden.path().to_str().expect("text");
    let busy = Answer::Whole("503 Service Unavailable", "Retry-After: 0\r\n".into(), Vec::new());
    let server = Server::new(vec![busy, whole("one")]);
    let begun = std::time::Instant::now();
    let run = rimefold(&["station", "fetch", path, ID, "--from", &server.address, "--pause", "60"]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(begun.elapsed() < Duration::from_secs(60));
}

/// A cut with nothing behind it: the half stays for another day, and serves then.
#[test]
fn half_a_record_outlives_the_program() {
    let garden = garden();
    let all = record();
    let cut = |from: usize, to: usize| {
        let headers =
            format!("Content-Range: bytes {from}-{}/{}\r\n{}", to - 1, all.len(), etag("one"));
        Answer::Whole("206 Partial Content", headers, all[from..to].to_vec())
    };
    let silence = || Answer::Silence(Duration::from_secs(4));
    let first = vec![
        Answer::Cut(etag("one"), all.len(), all[..1000].to_vec()),
        cut(1000, 5000),
        status("502 Bad Gateway"),
        silence(),
    ];
    let server = Server::new(first);
    let run = fetch(garden.path(), &server, &["--timeout", "2"]);
    assert_eq!(run.code, 7, "{}", run.err);
    assert!(run.err.contains("the half that came is kept"), "{}", run.err);
    assert!(!kept(garden.path()).exists());
    // The address must be the same for the half to be of use: the note of the version is moved to the new port.
    let later = Server::new(vec![cut(5000, all.len())]);
    let note = garden.path().join("station").join(format!("{ID}.csv.part.version"));
    let text = std::fs::read_to_string(&note).expect("a note");
    std::fs::write(&note, text.replace(&server.address, &later.address)).expect("written");
    let run = fetch(garden.path(), &later, &[]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(later.heads()[0].contains("range: bytes=5000-"), "{}", later.heads()[0]);
    assert_eq!(std::fs::read(kept(garden.path())).expect("there"), all);
}

#[test]
fn what_is_no_record_of_that_station_never_replaces_one() {
    let garden = garden();
    let other = String::from_utf8(record()).expect("text").replace(ID, "USC00000002").into_bytes();
    for bad in [b"<html>Sign in</html>".to_vec(), b"a,b\n1,2\n".to_vec(), Vec::new(), other] {
        let server = Server::new(vec![whole("one"), Answer::Whole("200 OK", etag("two"), bad)]);
        assert_eq!(fetch(garden.path(), &server, &[]).code, 0);
        let run = fetch(garden.path(), &server, &[]);
        assert_eq!(run.code, 7, "{}", run.out);
        assert!(run.err.contains("the older one is kept"), "{}", run.err);
        assert_eq!(std::fs::read(kept(garden.path())).expect("there"), record());
    }
}

#[test]
fn a_silent_server_is_not_waited_for() {
    let garden = garden();
    let silence = || Answer::Silence(Duration::from_secs(3));
    let server = Server::new(vec![silence(), silence(), silence(), silence()]);
    let run = fetch(garden.path(), &server, &["--timeout", "0.1"]);
    assert_eq!(run.code, 7, "{}", run.out);
    assert!(run.err.contains("no answer in 0.1 s; tried 4 times"), "{}", run.err);
}

#[test]
fn an_identifier_cannot_lead_out_of_the_folder() {
    let garden = garden();
    let path = garden.path().to_str().expect("text");
    for id in ["../../etc/x", "USC0000000", "USC00000001/"] {
        assert_eq!(
            rimefold(&["station", "fetch", path, id, "--from", "http://127.0.0.1:1"]).code,
            2
        );
    }
    assert_eq!(rimefold(&["station", "fetch", path, ID, "--from", "file:///etc"]).code, 2);
}

#[test]
fn a_record_at_hand_is_used_and_never_lost() {
    let garden = garden();
    let path = garden.path().to_str().expect("text");
    let file = garden.path().join("mine.csv");
    let file_name = file.to_str().expect("text");
    std::fs::write(&file, record()).expect("written");
    let run = rimefold(&["station", "use", path, file_name, "--json"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let value: serde_json::Value = serde_json::from_str(&run.out).expect("JSON");
    // By construction: last frost 25 April plus 0 to 9 days, first 5 October minus 0 to 9 days.
    let spring = &value["frost_at_station"]["last_spring"];
    assert_eq!(spring["share_of_years"], 1.0);
    assert!(
        ["04-29", "04-30"]
            .contains(&spring["of_years_that_freeze"]["half"].as_str().expect("a day"))
    );
    assert_eq!(spring["of_years_that_freeze"]["one_in_ten"], spring["of_all_years"]["one_in_ten"]);
    assert_eq!(value["first_day"], "1990-01-01");
    assert!(value["frost_in_garden_on_clear_calm_nights"].is_object());
    // The same again is no fault, another file of that name is.
    assert_eq!(rimefold(&["station", "use", path, file_name]).code, 0);
    let shorter: Vec<u8> = record().into_iter().take(400_000).collect();
    let cut = shorter.iter().rposition(|b| *b == b'\n').map_or(0, |i| i + 1);
    std::fs::write(&file, &shorter[..cut]).expect("written");
    let refused = rimefold(&["station", "use", path, file_name]);
    assert_eq!((refused.code, refused.err.contains("--replace")), (10, true), "{}", refused.err);
    assert_eq!(rimefold(&["station", "use", path, file_name, "--replace"]).code, 0);
    std::fs::write(&file, "garbage").expect("written");
    assert_eq!(rimefold(&["station", "use", path, file_name, "--replace"]).code, 4);
    let there = std::fs::read(garden.path().join("station/mine.csv")).expect("there");
    assert_eq!(there, &shorter[..cut]);
    assert_eq!(rimefold(&["station", "use", path, "nowhere.csv"]).code, 5);
}

/// Where only every other year freezes, "of the years that freeze" and "of all years" part.
#[test]
fn years_without_frost_are_told_apart() {
    let garden = garden();
    let path = garden.path().to_str().expect("text");
    let file = garden.path().join("mild.csv");
    std::fs::write(&file, record_where(|year| year % 2 == 0)).expect("written");
    let run = rimefold(&["station", "use", path, file.to_str().expect("text")]);
    let text = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("of years that freeze at all"), "{}", run.out);
    assert!(text.contains("last of spring, all years counted: "), "{}", run.out);
    let json = rimefold(&["station", "use", path, file.to_str().expect("text"), "--json"]);
    let value: serde_json::Value = serde_json::from_str(&json.out).expect("JSON");
    let spring = &value["frost_at_station"]["last_spring"];
    let share = spring["share_of_years"].as_f64().expect("a share");
    assert!((0.45..=0.55).contains(&share), "{share}");
    // Springs of odd years end 25 April plus 1, 3, 5, 7 or 9 days (4, 4, 3, 3 and 3 times): a tenth of those 17 is later
    // than the 14.4th of 0 to 16, a tenth of all 33 (a fifth of the 17) than the 12.9th.
    assert_eq!(spring["of_years_that_freeze"]["one_in_ten"], "05-04");
    assert_eq!(spring["of_all_years"]["one_in_ten"], "05-02");
}

/// Invented stations in the columns of NOAA's list; the garden lies at 43.6° N, 90.9° W, 320 m.
#[test]
fn the_nearest_stations_are_found_height_counted() {
    let garden = garden();
    let path = garden.path().to_str().expect("text");
    assert_eq!(rimefold(&["station", "find", path]).code, 5, "no list yet");
    let row = |id: &str, lat: f64, lon: f64, height: f64, name: &str| {
        format!("{id} {lat:8.4} {lon:9.4} {height:6.1} WI {name:30}            \n")
    };
    let list = row("USC00000001", 43.6, -90.8, 600.0, "NEAR BUT HIGH")
        + &row("USC00000002", 43.5, -91.0, 310.0, "VALLEY")
        + &row("USC00000003", 43.9, -90.9, 330.0, "FARTHER")
        + &row("USC00000004", 43.6, -90.9, 320.0, "YOUNG");
    let years = |id: &str, first: i32| {
        format!(
            "{id}  43.6000  -90.9000 TMIN {first} 2024\n{id}  43.6000  -90.9000 PRCP 1890 2024\n"
        )
    };
    let inventory: String = [
        ("USC00000001", 1950),
        ("USC00000002", 1950),
        ("USC00000003", 1900),
        ("USC00000004", 2015),
    ]
    .iter()
    .map(|(id, first)| years(id, *first))
    .collect();
    let station = garden.path().join("station");
    std::fs::create_dir_all(&station).expect("a folder");
    std::fs::write(station.join("ghcnd-stations.txt"), &list).expect("written");
    let ids = |run: &Run| -> Vec<String> {
        let value: serde_json::Value = serde_json::from_str(&run.out).expect("JSON");
        let stations = value["stations"].as_array().expect("stations").clone();
        stations.iter().map(|s| s["id"].as_str().expect("an id").to_owned()).collect()
    };
    let all = rimefold(&["station", "find", path, "--json"]);
    assert_eq!(
        ids(&all),
        ["USC00000004", "USC00000002", "USC00000003", "USC00000001"],
        "{}",
        all.err
    );
    std::fs::write(station.join("ghcnd-inventory.txt"), &inventory).expect("written");
    let long = rimefold(&["station", "find", path, "--json", "--count", "2"]);
    assert_eq!(ids(&long), ["USC00000002", "USC00000003"]);
    let words = rimefold(&["station", "find", path]);
    assert!(words.out.contains("VALLEY") && words.out.contains("1950 to 2024"), "{}", words.out);
    assert!(words.out.lines().all(|l| l.chars().count() <= 80), "{}", words.out);
    let none = rimefold(&["station", "find", path, "--years", "400"]);
    assert_eq!(none.code, 6, "{}", none.out);
}
