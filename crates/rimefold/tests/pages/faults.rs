//! Killed, full, read-only, broken by hand: what was acknowledged stays, and the pages say what to do.

use std::collections::BTreeSet;
use std::process::Command;
use std::sync::Mutex;
use std::time::{Duration, Instant};

use super::{AFTERNOON, Answer, Site, form, notes, serve};
use crate::diary::{Garden, integrity};

/// A note's id of its own: 32 hexadecimal digits.
fn id(n: u32) -> String {
    format!("{n:032x}")
}

fn note(id: &str) -> [(&str, &str); 4] {
    [("id", id), ("bed", "leeks"), ("act", "covered"), ("back", "/")]
}

/// Killed after so many notes, three times; as often as `RIMEFOLD_ROUNDS` says where it says so.
fn rounds() -> impl Iterator<Item = usize> {
    let rounds = std::env::var("RIMEFOLD_ROUNDS").ok().and_then(|n| n.parse().ok()).unwrap_or(3);
    [5, 60, 140].into_iter().chain((0..).map(|n| n * 37 % 150 + 1)).take(rounds)
}

#[test]
fn what_was_acknowledged_survives_a_kill_in_the_middle_of_two_hundred_writes() {
    let (mut notes, mut killed) = (0, 0);
    for after in rounds() {
        let mut site = serve();
        site.ready();
        let acknowledged = Mutex::new(Vec::new());
        let next = Mutex::new(0_u32);
        let mut child = std::mem::replace(&mut site.child, idle());
        std::thread::scope(|s| {
            for _ in 0..4 {
                s.spawn(|| {
                    loop {
                        let n = {
                            let mut next = next.lock().expect("ours");
                            *next += 1;
                            *next
                        };
                        let id = id(n);
                        let answer = try_post(&site, &note(&id));
                        match answer {
                            Some(303) if n <= 200 => acknowledged.lock().expect("ours").push(id),
                            _ => return,
                        }
                    }
                });
            }
            s.spawn(|| {
                while acknowledged.lock().expect("ours").len() < after {
                    std::thread::sleep(Duration::from_micros(200));
                }
                child.kill().expect("killed");
            });
        });
        let _ = child.wait();
        let acknowledged = acknowledged.into_inner().expect("ours");
        assert!((after..200).contains(&acknowledged.len()), "{}", acknowledged.len());
        assert_eq!(integrity(&site.garden.database()), "ok");
        let there: BTreeSet<String> = site.notes().into_iter().collect();
        for id in &acknowledged {
            assert!(there.contains(id), "{id} was acknowledged and is gone");
        }
        // At most what was on its way when it died is there beside them.
        assert!(there.len() <= acknowledged.len() + 4, "{} {}", there.len(), acknowledged.len());
        (notes, killed) = (notes + acknowledged.len(), killed + 1);
    }
    println!("killed {killed} times, {notes} notes acknowledged, none lost");
}

/// Stands where the program was that is about to be killed.
fn idle() -> std::process::Child {
    let mut command = Command::new(env!("CARGO_BIN_EXE_rimefold"));
    command.arg("--version").stdout(std::process::Stdio::null()).spawn().expect("it starts")
}

/// Posts where nobody may be listening any more.
fn try_post(site: &Site, fields: &[(&str, &str)]) -> Option<u16> {
    use std::io::{Read as _, Write as _};
    let mut stream = std::net::TcpStream::connect(("127.0.0.1", site.port)).ok()?;
    let body = super::encoded(fields);
    let head = format!(
        "POST /cover HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\nContent-Type: {}\r\nContent-Length: {}\r\n\r\n",
        super::FORM.1,
        body.len()
    );
    stream.write_all((head + &body).as_bytes()).ok()?;
    let mut raw = Vec::new();
    let _ = stream.read_to_end(&mut raw);
    Some(super::Answer::read(&raw)?.status)
}

/// A file that may not grow stands for a full disk: the same write fails.
#[cfg(unix)]
#[test]
fn a_full_disk_is_told_on_a_page_and_nothing_is_lost() {
    let garden = Garden::new("jura");
    for _ in 0..5 {
        garden.noted(&["voles", "leeks"]);
    }
    let kept = notes(&garden.database());
    let before = std::fs::read_to_string(garden.path.join("garden.toml")).expect("there");
    for kilobytes in [1, 4, 8] {
        let mut command = Command::new("bash");
        // The signal that comes with it is ignored, so that the write itself fails, as on a full disk.
        let script = format!("trap '' XFSZ; ulimit -f {kilobytes}; exec \"$0\" \"$@\"");
        command.args(["-c", &script, env!("CARGO_BIN_EXE_rimefold"), "serve"]);
        command.arg(&garden.path).args(["--port", "0", "--at", AFTERNOON]);
        let site = Site::started(Garden::new("jura"), command);
        site.ready();
        assert_eq!(site.get("/").status, 200, "the evening's answer is worth more than its record");
        let answer = site.post("/cover", &note(&id(kilobytes)));
        assert_eq!(answer.status, 507, "{}", answer.body);
        assert!(answer.body.contains("Not saved") && answer.body.contains("cannot write"));
        assert!(site.get("/diary").body.contains("voles"), "what is there is shown");
        if kilobytes == 1 {
            let answer = site.submit("/stock", &[("stock.pins", Some("59"))]);
            assert_eq!(answer.status, 507, "{}", answer.body);
            assert!(answer.body.contains("garden.toml"));
        }
        drop(site);
        assert_eq!(notes(&garden.database()), kept);
    }
    let text = std::fs::read_to_string(garden.path.join("garden.toml")).expect("there");
    assert_eq!(text, before);
    assert!(parts(&garden).is_empty(), "{:?}", parts(&garden));
    assert_eq!(integrity(&garden.database()), "ok");
    let site = Site::of(garden, &["--at", AFTERNOON]);
    assert_eq!(site.post("/cover", &note(&id(1))).status, 303);
}

/// Half-written files.
fn parts(garden: &Garden) -> Vec<String> {
    let all = std::fs::read_dir(&garden.path).expect("a folder").filter_map(Result::ok);
    all.map(|e| e.file_name().display().to_string()).filter(|n| n.contains(".part")).collect()
}

#[cfg(unix)]
#[test]
fn a_folder_that_cannot_be_written_is_told_on_a_page_and_mends_itself() {
    let site = serve();
    site.ready();
    assert_eq!(site.post("/cover", &note(&id(1))).status, 303);
    let before = site.file("garden.toml");
    if let Some(_closed) = crate::diary::safety::Closed::close(&site.garden.path) {
        let answer = site.submit("/stock", &[("stock.pins", Some("59"))]);
        assert_eq!(answer.status, 507, "{}", answer.body);
        assert!(answer.body.contains("Not saved") && answer.body.contains("garden.toml"));
        for page in super::PAGES {
            assert_eq!(site.get(page).status, 200, "{page}");
        }
    }
    assert_eq!(site.file("garden.toml"), before);
    assert_eq!(site.submit("/stock", &[("stock.pins", Some("59"))]).status, 303);
    assert_eq!(site.post("/cover", &note(&id(2))).status, 303);
    assert_eq!(site.notes(), [id(1), id(2)]);
}

#[test]
fn a_folder_in_the_place_of_the_diary_is_told_and_notes_go_in_once_it_is_gone() {
    let garden = Garden::new("jura");
    std::fs::create_dir(garden.database()).expect("made");
    let site = Site::of(garden, &["--at", AFTERNOON]);
    site.ready();
    let answer = site.post("/cover", &note(&id(1)));
    assert_eq!(answer.status, 507, "{}", answer.body);
    assert!(answer.body.contains("diary.sqlite"));
    for page in super::PAGES {
        assert_eq!(site.get(page).status, 200, "{page}");
    }
    std::fs::remove_dir(site.garden.database()).expect("removed");
    assert_eq!(site.post("/cover", &note(&id(1))).status, 303);
    assert_eq!(site.notes(), [id(1)]);
}

#[test]
fn another_program_that_holds_the_diary_is_waited_for_then_told_and_no_plan_waits_for_it() {
    let site = serve();
    site.ready();
    assert_eq!(site.post("/cover", &note(&id(1))).status, 303);
    let other = rusqlite::Connection::open(site.garden.database()).expect("it opens");
    for (held_s, status) in [(1, 303), (7, 507)] {
        other.execute_batch("BEGIN IMMEDIATE").expect("held");
        std::thread::scope(|s| {
            let waiting = s.spawn(|| site.post("/cover", &note(&id(10 + held_s))));
            let begun = Instant::now();
            while begun.elapsed() < Duration::from_secs(held_s.into()) {
                let asked = Instant::now();
                assert_eq!(site.get("/").status, 200);
                assert!(asked.elapsed() < Duration::from_secs(1), "{:?}", asked.elapsed());
                std::thread::sleep(Duration::from_millis(100));
            }
            other.execute_batch("COMMIT").expect("let go");
            let answer = waiting.join().expect("it answers");
            assert_eq!(answer.status, status, "{}", answer.body);
            let told = answer.body.contains("another program is using it");
            assert_eq!(told, status == 507, "{}", answer.body);
        });
    }
    assert_eq!(site.notes(), [id(1), id(11)]);
}

#[test]
fn a_garden_file_broken_by_hand_is_told_and_mends_itself() {
    let site = serve();
    site.ready();
    let good = site.file("garden.toml");
    for bad in [
        good.replace("pins = 60", "pins = sixty"),
        good.replace("\"damp\"", "\"soggy\""),
        good.replace("[stock]", "[stock"),
        String::new(),
        "\u{0}\u{1}".into(),
        good.replace("Europe/Paris", "Europe/Nowhere"),
    ] {
        let edit = form(&site.get("/beds/1").body, "/beds/1");
        site.garden.write("garden.toml", &bad);
        let told = site.until("/", |a| a.body.contains("has faults"));
        assert!(told.body.contains("garden.toml"), "{}", told.body);
        for page in super::PAGES {
            let status = site.get(page).status;
            assert!(matches!(status, 200 | 303 | 404 | 422), "{page}: {status}");
        }
        // A form from before cannot overwrite what is being mended by hand.
        let edit: Vec<(&str, &str)> = edit.iter().map(|f| (f.0.as_str(), f.1.as_str())).collect();
        assert!(matches!(site.post("/beds/1", &edit).status, 404 | 409 | 422));
        assert_eq!(site.file("garden.toml"), bad);
        site.garden.write("garden.toml", &good);
        site.until("/", |a| a.status == 200 && a.body.contains("Tonight, "));
    }
    std::fs::remove_file(site.garden.path.join("garden.toml")).expect("removed");
    site.until("/", |a| a.header("location") == Some("/begin"));
    site.garden.write("garden.toml", &good);
    site.until("/", |a| a.status == 200 && a.body.contains("Tonight, "));
}

#[test]
fn a_forecast_that_is_bad_or_gone_is_told_and_a_new_one_is_taken() {
    let site = serve();
    site.ready();
    let good = site.file("forecast.json");
    for bad in ["", "{", "<html>busy</html>", "{\"type\":\"Feature\"}"] {
        site.garden.write("forecast.json", bad);
        let told = site.until("/", |a| a.body.contains("No plan for tonight"));
        assert!(told.body.contains("forecast.json"), "{}", told.body);
    }
    std::fs::remove_file(site.garden.path.join("forecast.json")).expect("removed");
    site.until("/", |a| a.body.contains("There is no forecast yet"));
    // Brought by form: what cannot be read is refused, what can is taken.
    let bring = |text: &str| brought(&site, "/forecast", text);
    let answer = bring("not a forecast");
    assert_eq!(answer.status, 422);
    assert!(!site.garden.path.join("forecast.csv").exists());
    assert_eq!(bring(&good).status, 303);
    site.until("/", |a| a.status == 200 && a.body.contains("Tonight, "));
}

/// A file sent by the form at `path`.
fn brought(site: &Site, path: &str, text: &str) -> Answer {
    let kind = ("Content-Type", "multipart/form-data; boundary=edge");
    let body = format!(
        "--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"f\"\r\n\r\n{text}\r\n--edge--\r\n"
    );
    site.ask("POST", path, &[kind], body.as_bytes())
}

#[test]
fn a_station_s_record_is_brought_by_form_and_the_one_before_is_kept() {
    let site = serve();
    site.ready();
    assert!(
        site.get("/year").body.contains("href=\"/station\""),
        "the year says where to bring one"
    );
    let refused = brought(&site, "/station", "no,record\n1,2\n");
    assert_eq!(refused.status, 422);
    assert!(refused.body.contains("aria-invalid"), "{}", refused.body);
    assert!(!site.garden.path.join("station.csv").exists());
    let record = |low: i32| {
        let days = (1..=28).map(|d| format!("2001-05-{d:02},{low},{}\n", low + 9));
        format!("date,tmin_c,tmax_c\n{}", days.collect::<String>())
    };
    for low in [1, 2] {
        assert_eq!(brought(&site, "/station", &record(low)).status, 303);
    }
    assert_eq!(site.file("station.csv").trim(), record(2).trim());
    assert_eq!(site.file("station.csv.old").trim(), record(1).trim());
}

#[test]
fn a_page_does_not_wait_for_a_plan() {
    let site = Site::of(Garden::new("wisconsin"), &["--at", AFTERNOON]);
    // From the first moment on, while the plan is being made.
    let mut seen_working = false;
    let begun = Instant::now();
    while begun.elapsed() < Duration::from_secs(60) {
        let asked = Instant::now();
        let answer = site.get("/");
        assert!(asked.elapsed() < Duration::from_secs(2), "{:?}", asked.elapsed());
        assert_eq!(answer.status, 200);
        let working = site.get("/standing").body == "working\n";
        seen_working |= working;
        if !working && seen_working {
            break;
        }
    }
    assert!(seen_working && site.get("/").body.contains("Tonight, "));
    // What was planned before is shown meanwhile, marked.
    let text = site.file("garden.toml").replace("pins = 220", "pins = 221");
    site.garden.write("garden.toml", text);
    let meanwhile = site.until("/", |a| a.body.contains("data-working"));
    assert!(meanwhile.body.contains("Tonight, "));
    site.ready();
    assert!(!site.get("/").body.contains("data-working"));
}

/// A plan made while something lay there does not hold once that is taken back: the page offers the tick again, or says that
/// it plans and looks again by itself.
#[test]
fn a_tick_taken_back_is_offered_again_or_the_page_says_that_it_plans() {
    let site = Site::of(Garden::new("wisconsin"), &["--at", AFTERNOON]);
    site.ready();
    let offered = |page: &str| page.contains("aria-label=\"broccoli is covered\"");
    let page = site.get("/").body;
    assert!(offered(&page));
    let field = |name: &str| {
        let form = page.split("<form").find(|f| f.contains("broccoli is covered")).expect("a form");
        let tail = form.split(&format!("name=\"{name}\" value=\"")).nth(1).expect("the field");
        tail.split('"').next().expect("its value").to_owned()
    };
    let fields = ["id", "bed", "sheet", "layers", "placement", "act"].map(|n| (n, field(n)));
    let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (*n, v.as_str())).collect();
    assert_eq!(site.post("/cover", &fields).status, 303);
    let planned = "<h2>Lies and stays</h2>";
    assert!(!page.contains(planned));
    site.until("/", |a| a.body.contains(planned));
    assert_eq!(site.post("/undo", &fields[..1]).status, 303);
    let back = site.get("/").body;
    assert!(offered(&back) || back.contains("data-working"), "{back}");
    site.ready();
    assert!(offered(&site.get("/").body));
}
