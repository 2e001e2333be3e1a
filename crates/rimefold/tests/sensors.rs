//! Automatic thermometers: files of loggers, readings sent over HTTP and MQTT, on a garden of its own.

use std::fmt::Write as _;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;

use crate::diary::Garden;
use crate::harness::{Ask, Run};
use crate::pages::Site;

const TOKEN: &str = "0123456789abcdef-of-this-test";
const FORM: (&str, &str) = ("Content-Type", "application/x-www-form-urlencoded");
const JSON: (&str, &str) = ("Content-Type", "application/json");

/// The garden of Wisconsin with sensors; on the evening of 14 May 2027 the forecast has a frost.
fn garden(sensors: &str) -> Garden {
    let garden = Garden::new("wisconsin");
    let file = std::fs::read_to_string(garden.path.join("garden.toml")).expect("a file");
    garden.write("garden.toml", format!("{file}\n{sensors}"));
    // A first note begins the diary, and plans are kept from then on.
    garden.noted(&["voles", "carrots"]);
    garden
}

const POLE: &str = "[[sensor]]\nname = \"pole\"\nfolder = \"logger\"\n";

/// A logger's file from 14 May, noon, over so many hours, every ten minutes: falls to `low` at 5 in the morning. `show` writes
/// a number.
fn night(hours: i32, low: f64, show: impl Fn(f64) -> String) -> String {
    let mut text = String::from("date,temperature\n");
    for minute in (0..hours * 60).step_by(10) {
        let h = f64::from(minute) / 60.0;
        let celsius = if h <= 17.0 { low + (17.0 - h) * 0.9 } else { low + (h - 17.0) * 1.8 };
        let (day, hour) = (14 + (12 + minute / 60) / 24, (12 + minute / 60) % 24);
        let _ = writeln!(text, "2027-05-{day:02} {hour:02}:{:02},{}", minute % 60, show(celsius));
    }
    text
}

fn in_celsius(c: f64) -> String {
    format!("{c:.2}")
}

fn sensor(garden: &Garden, at: &str, words: &[&str]) -> Run {
    let folder = garden.path.display().to_string();
    Ask::new(&[&["sensor", "--garden", &folder], words].concat()).clock(at).run()
}

fn plan(garden: &Garden, at: &str) -> Run {
    let folder = garden.path.display().to_string();
    Ask::new(&["tonight", &folder]).clock(at).run()
}

/// The lows in the diary that came by themselves, °C, with their places.
fn lows(garden: &Garden) -> Vec<(f64, Value)> {
    let own = |n: &&Value| n["note"].as_str().is_some_and(|t| t.starts_with("automatic"));
    let low = |n: &Value| (n["temperature_c"].as_f64().expect("a low"), n.clone());
    garden.list().iter().filter(own).map(low).collect()
}

#[test]
fn a_loggers_file_gives_the_low_of_the_night_once() {
    let garden = garden(&format!("{POLE}unit = \"C\"\n"));
    plan(&garden, "2027-05-14T16:00").code(0);
    let file = garden.write("may.csv", night(22, -1.3, in_celsius));
    let take = || sensor(&garden, "2027-05-15T12:00", &["take", &file]).code(0).out;
    let first = take();
    assert!(first.contains("132 readings taken, 2027-05-14 to 2027-05-15"), "{first}");
    assert!(first.contains("night of 2027-05-14: low 30 °F by pole, noted"), "{first}");
    let again = take();
    assert!(again.contains("0 readings taken") && again.contains("132 there already"), "{again}");
    assert!(!again.contains("noted"), "{again}");
    let found = lows(&garden);
    assert_eq!(found.len(), 1);
    assert!((found[0].0 + 1.3).abs() < 0.011, "{found:?}");
    // What the grower takes back stays taken back.
    let id = found[0].1["id"].as_str().expect("an id").to_owned();
    garden.noted(&["undo", &id]);
    assert!(!take().contains("noted"));
    assert!(!garden.stands(&id));
    // The skill of the plan is told by it as by any reading.
    crate::schema::valid("sensor-list", &sensor(&garden, "2027-05-15T12:00", &["list", "--json"]));
    let list = sensor(&garden, "2027-05-15T12:00", &["list"]).code(0).out;
    assert!(list.contains("pole, in the open: 45 °F, 2 hours ago"), "{list}");
}

#[test]
fn half_a_night_gives_no_low_until_the_rest_has_come() {
    let garden = garden(&format!("{POLE}unit = \"C\"\n"));
    let half = garden.write("a.csv", night(12, -1.3, in_celsius));
    let out = sensor(&garden, "2027-05-15T12:00", &["take", &half]).code(0).out;
    assert!(!out.contains("night of"), "{out}");
    let whole = garden.write("b.csv", night(22, -1.3, in_celsius));
    let out = sensor(&garden, "2027-05-15T12:00", &["take", &whole]).code(0).out;
    assert!(out.contains("72 there already") && out.contains("noted"), "{out}");
    // The night that has not ended is not noted.
    let early = self::garden(&format!("{POLE}unit = \"C\"\n"));
    let file = early.write("c.csv", night(16, -1.3, in_celsius));
    let out = sensor(&early, "2027-05-15T04:00", &["take", &file]).code(0).out;
    assert!(!out.contains("night of"), "{out}");
}

#[test]
fn a_low_in_the_wrong_unit_is_not_noted() {
    let garden = garden(&format!("{POLE}unit = \"C\"\n"));
    plan(&garden, "2027-05-14T16:00").code(0);
    let fahrenheit = |c: f64| format!("{:.1}", c * 1.8 + 32.0);
    let file = garden.write("may.csv", night(22, -1.3, fahrenheit));
    let out = sensor(&garden, "2027-05-15T12:00", &["take", &file]).code(0).out;
    assert!(out.contains("is not noted; is its unit right?"), "{out}");
    assert!(lows(&garden).is_empty());
    // The pages say the same of a file in the folder.
    garden.write("logger/may.csv", night(22, -1.3, fahrenheit));
    let site = Site::of(garden, &["--at", "2027-05-15T12:00"]);
    for page in ["/sensors", "/"] {
        site.until(page, |a| a.body.contains("is not noted; is its unit right?"));
    }
}

#[test]
fn what_a_file_does_not_tell_is_asked_with_its_line() {
    let garden = garden(POLE);
    let file = garden.write("may.csv", night(22, -1.3, in_celsius));
    let run = sensor(&garden, "2027-05-15T12:00", &["take", &file]).code(8);
    assert!(
        run.err.contains("may.csv: line 1: “temperature” does not say whether it is °C or °F"),
        "{}",
        run.err
    );
    let none = Garden::new("wisconsin");
    let run = sensor(&none, "2027-05-15T12:00", &["take", &file]).code(2);
    assert!(run.err.contains("has no [[sensor]]"), "{}", run.err);
    let list = sensor(&none, "2027-05-15T12:00", &["list"]).code(0).out;
    assert!(list.contains("[[sensor]]"), "{list}");
}

#[test]
fn a_sensor_over_a_bed_reads_under_what_lies_there() {
    let tunnel = "[[sensor]]\nname = \"kale leaf\"\nbed = \"Kale\"\nunit = \"C\"\n";
    let garden = garden(tunnel);
    plan(&garden, "2027-05-14T16:00").code(0);
    let file = garden.write("may.csv", night(22, 0.4, in_celsius));
    let take = || sensor(&garden, "2027-05-15T12:00", &["take", &file]).code(0).out;
    assert!(take().contains("kale leaf is not noted, for nobody said what lay on its bed"));
    garden.noted(&["covered", "kale", "--with", "heavy 72", "--at", "2027-05-14T19:00"]);
    assert!(take().contains("noted"));
    let found = lows(&garden);
    let place = &found[0].1;
    assert_eq!(
        (place["bed"].as_str(), place["sheet"].as_str()),
        (Some("kale"), Some("heavy 72")),
        "{place}"
    );
}

/// With ten minutes' readings of this evening the plan goes by them, as by readings that were typed.
#[test]
fn readings_of_the_evening_make_the_night_surer() {
    let garden = garden(&format!("{POLE}unit = \"C\"\n"));
    let file = garden.write("may.csv", night(9, 2.0, in_celsius));
    sensor(&garden, "2027-05-14T21:00", &["take", &file]).code(0);
    let before = self::garden("");
    let band = |g: &Garden| {
        let folder = g.path.display().to_string();
        let out =
            Ask::new(&["tonight", &folder, "--json"]).clock("2027-05-14T21:00").run().code(0).out;
        let value: Value = serde_json::from_str(&out).expect("JSON");
        let low = |p: &str| value["weather"]["garden_low_c"][p].as_f64().expect("a low");
        [low("p10"), low("p50"), low("p90")]
    };
    let (without, with) = (band(&before), band(&garden));
    println!("low without {without:.1?}, with the sensor {with:.1?}");
    assert!(with[2] - with[0] < 0.95 * (without[2] - without[0]), "{without:?} {with:?}");
    let told = plan(&garden, "2027-05-14T21:00").code(0).err;
    assert!(told.contains("9 readings of the air since this morning"), "{told}");
    let site = Site::of(garden, &["--at", "2027-05-14T21:00"]);
    site.until("/", |a| a.body.contains("class=\"read\"") && a.body.contains("Dots: read here"));
    let garden = &site.garden;
    // A sensor that fell silent or sticks is told and not gone by.
    let later = plan(garden, "2027-05-15T01:30").code(0).err;
    assert!(later.contains("pole is silent since"), "{later}");
    let stuck = self::garden(&format!("{POLE}unit = \"C\"\n"));
    let file = stuck.write("may.csv", night(13, 2.0, |_| "4.5".into()));
    sensor(&stuck, "2027-05-15T01:00", &["take", &file]).code(0);
    let told = plan(&stuck, "2027-05-15T01:00").code(0).err;
    assert!(
        told.contains("gives 40 °F and nothing else") && !told.contains("of the air"),
        "{told}"
    );
}

fn send(site: &Site, headers: &[(&str, &str)], body: &str) -> (u16, String) {
    let answer = site.ask("POST", "/readings", headers, body.as_bytes());
    (answer.status, answer.body)
}

#[test]
fn machines_send_with_a_token_and_not_without() {
    let garden = garden(
        "[[sensor]]\nname = \"pole\"\n[[sensor]]\nname = \"low\"\n[[sensor]]\nname = \"third\"\n",
    );
    let site = Site::of(garden, &["--at", "2027-05-14T16:00"]);
    site.ready();
    let none = send(&site, &[FORM], "sensor=pole&tempf=50");
    assert_eq!((none.0, none.1.contains("make a token")), (403, true), "{none:?}");
    let token = sensor(&site.garden, "2027-05-14T16:00", &["token"]).code(0).out;
    let token = token.trim();
    let kept = site.garden.path.join("reading-token");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = std::fs::metadata(&kept).expect("a file").permissions().mode();
        assert_eq!(mode & 0o777, 0o600);
    }
    std::fs::write(&kept, TOKEN).expect("written");
    let with = |token: &str, fields: &str| send(&site, &[FORM], &format!("token={token}&{fields}"));
    assert_eq!(with(token, "sensor=pole&tempf=50").0, 403, "the old one no longer serves");
    let taken = with(TOKEN, "sensor=Pole&tempf=50&humidity=80&dateutc=2027-05-14+20%3A55%3A00");
    assert_eq!(taken, (200, "taken 1, there already 0, not believed 0\n".into()));
    assert_eq!(with(TOKEN, "sensor=pole&tempf=50").0, 429, "too soon");
    assert_eq!(with(TOKEN, "sensor=hedge&tempf=50").0, 404);
    assert_eq!(with(TOKEN, "sensor=low").0, 422);
    let bearer = format!("Bearer {TOKEN}");
    let list = r#"[{"temp_c": 9.5, "at": "2027-05-14T20:40:00Z"}, {"temp_c": -127, "at": "2027-05-14T20:50:00Z"}]"#;
    let json = send(&site, &[JSON, ("Authorization", &bearer)], list);
    assert_eq!(json.0, 404, "of three sensors one must be named: {json:?}");
    let path = format!("/readings?token={TOKEN}&sensor=low");
    let answer = site.ask("POST", &path, &[JSON], list.as_bytes());
    assert_eq!(
        (answer.status, answer.body.as_str()),
        (200, "taken 1, there already 0, not believed 1\n")
    );
    let get = site.ask("GET", &format!("/readings?PASSWORD={TOKEN}&ID=third&tempc=9.1"), &[], b"");
    assert_eq!(get.status, 200, "{}", get.body);
    for (body, what) in [("{", "not JSON"), ("[1]", "found a number")] {
        let answer = site.ask("POST", &path, &[JSON], body.as_bytes());
        assert_eq!((answer.status, answer.body.contains(what)), (422, true), "{}", answer.body);
    }
    // Neither page nor export nor backup tells the token.
    let page = site.get("/sensors").body;
    assert!(page.contains("50 °F") && page.contains("-197 °F"), "{page}");
    let json = site.get("/diary.json").body;
    let sees = |text: &str| text.contains(TOKEN);
    assert!(!sees(&page) && !sees(&json) && !sees(&site.get("/knows").body));
    // After ten wrong ones on end nobody is told any more whether a token is wrong; the right one is heard all the same.
    let wrong: Vec<u16> = (0..11).map(|_| with("wrong", "sensor=pole&tempf=50").0).collect();
    assert_eq!((wrong[0], wrong[10]), (403, 429), "{wrong:?}");
    assert_eq!(with(TOKEN, "sensor=pole&tempf=warm").0, 422);
}

#[test]
fn files_put_into_the_folder_are_read_while_the_pages_are_served() {
    let garden = garden(&format!("{POLE}unit = \"C\"\n"));
    plan(&garden, "2027-05-14T16:00").code(0);
    garden.write("logger/may.csv", night(22, -1.3, in_celsius));
    garden.write("logger/bad.csv", "nothing,here\n1,2\n");
    let site = Site::of(garden, &["--at", "2027-05-15T10:00"]);
    site.until("/sensors", |a| a.body.contains("1 night in the diary"));
    site.until("/sensors", |a| a.body.contains("bad.csv"));
    assert_eq!(lows(&site.garden).len(), 1);
    site.until("/", |a| a.body.contains("The logger’s file bad.csv was not read"));
}

/// A broker of Debian's mosquitto on a free port; `None` where it is not installed.
fn broker(folder: &std::path::Path) -> Option<(Child, u16)> {
    let find = |name: &str| {
        ["/usr/sbin", "/usr/bin"]
            .iter()
            .map(|f| std::path::Path::new(f).join(name))
            .find(|p| p.is_file())
    };
    let (mosquitto, _) = find("mosquitto").zip(find("mosquitto_pub"))?;
    let port = std::net::TcpListener::bind("127.0.0.1:0").ok()?.local_addr().ok()?.port();
    let file = folder.join("broker.conf");
    std::fs::write(&file, format!("listener {port} 127.0.0.1\nallow_anonymous true\n")).ok()?;
    let mut command = Command::new(mosquitto);
    let child =
        command.arg("-c").arg(&file).stdout(Stdio::null()).stderr(Stdio::null()).spawn().ok()?;
    let begun = Instant::now();
    while TcpStream::connect(("127.0.0.1", port)).is_err() {
        assert!(begun.elapsed() < Duration::from_secs(20), "the broker listens");
        std::thread::sleep(Duration::from_millis(50));
    }
    Some((child, port))
}

#[test]
fn messages_of_a_real_broker_are_heard() {
    messages_are_heard(|port| port);
}

/// A broker that hangs up on version 5, as those do that know no other than 3.1.1: a go-between that looks at the version in
/// the first packet (MQTT 3.1.1 section 3.1.2.2: level 4; MQTT 5 the same section: level 5).
#[test]
fn a_broker_of_the_older_version_is_heard_too() {
    messages_are_heard(|broker| {
        let door = std::net::TcpListener::bind("127.0.0.1:0").expect("a port");
        let port = door.local_addr().expect("an address").port();
        std::thread::spawn(move || {
            for mut client in door.incoming().filter_map(Result::ok) {
                let mut head = [0; 9];
                if client.read_exact(&mut head).is_err() || head[8] != 4 {
                    continue;
                }
                let Ok(mut server) = TcpStream::connect(("127.0.0.1", broker)) else { return };
                server.write_all(&head).expect("passed on");
                let (mut from, mut to) =
                    (client.try_clone().expect("twice"), server.try_clone().expect("twice"));
                std::thread::spawn(move || std::io::copy(&mut from, &mut to));
                std::thread::spawn(move || std::io::copy(&mut server, &mut client));
            }
        });
        port
    });
}

fn messages_are_heard(through: impl Fn(u16) -> u16) {
    let folder = tempfile::tempdir().expect("a folder");
    let Some((mut broker, port)) = broker(folder.path()) else {
        return measured_data::lacks("mosquitto (apt-get install mosquitto mosquitto-clients)");
    };
    let garden = garden(&format!(
        "[[sensor]]\nname = \"pole\"\ntopic = \"garden/pole\"\nfield = \"air.t\"\nunit = \"F\"\n\
         [mqtt]\nhost = \"127.0.0.1\"\nport = {}\n",
        through(port)
    ));
    let site = Site::of(garden, &["--at", "2027-05-14T16:00"]);
    let publish = |message: &str| {
        let sent = Command::new("mosquitto_pub")
            .args([
                "-h",
                "127.0.0.1",
                "-p",
                &port.to_string(),
                "-t",
                "garden/pole",
                "-q",
                "1",
                "-m",
                message,
            ])
            .status();
        assert!(sent.expect("it starts").success());
    };
    let begun = Instant::now();
    while !site.get("/sensors").body.contains("59 °F") {
        assert!(begun.elapsed() < Duration::from_secs(60), "{}", site.get("/sensors").body);
        publish("what is this");
        publish(r#"{"air": {"t": 59.0}}"#);
        std::thread::sleep(Duration::from_millis(500));
    }
    let _ = broker.kill();
    let _ = broker.wait();
}
