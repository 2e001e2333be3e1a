//! The password, visits, and what of both is kept.

use super::{AFTERNOON, Site, serve};
use crate::diary::Garden;
use crate::harness::rimefold;

const WORD: &str = "grün horse battery";

pub fn locked() -> Site {
    let garden = Garden::new("jura");
    let file = garden.write("word", format!("{WORD}\n"));
    Site::of(garden, &["--at", AFTERNOON, "--lan", "--password-file", &file])
}

/// Comes in; the cookie.
pub fn come_in(site: &Site) -> String {
    let answer = site.post("/enter", &[("password", WORD)]);
    assert_eq!((answer.status, answer.header("location")), (303, Some("/")));
    let cookie = answer.header("set-cookie").expect("a cookie");
    for flag in ["HttpOnly", "SameSite=Strict", "Path=/", "Max-Age=2592000"] {
        assert!(cookie.contains(flag), "{cookie}");
    }
    cookie.split(';').next().expect("its value").to_owned()
}

#[test]
fn the_network_is_let_in_by_password_and_a_visit_ends() {
    let site = locked();
    for path in super::PAGES.iter().chain(&["/diary.csv", "/diary.json", "/standing", "/none"]) {
        let answer = site.get(path);
        assert_eq!((answer.status, answer.header("location")), (303, Some("/enter")), "{path}");
        assert!(answer.body.is_empty(), "{path}");
    }
    for path in ["/cover", "/undo", "/diary", "/beds/1", "/garden", "/stock", "/begin", "/forecast"]
    {
        assert_eq!(site.post(path, &[("bed", "leeks"), ("act", "covered")]).status, 303, "{path}");
    }
    assert_eq!(site.get("/enter").status, 200);
    assert!(!site.get("/enter").body.contains("Plateau"), "not even the garden's name");

    let cookie = come_in(&site);
    assert!(site.notes().is_empty(), "nobody wrote before");
    let inside = |c: &str| site.ask("GET", "/beds", &[("Cookie", c)], b"").status == 200;
    let other = come_in(&site);
    assert_ne!(cookie, other, "every visit has its own token");
    site.until_inside(&cookie);
    assert!(inside(&other) && inside(&format!("a=b; {cookie}; c=d")));
    let token = cookie.split('=').nth(1).expect("a token");
    assert_eq!(token.len(), 64, "256 random bits");
    for wrong in [&token[..63], &token.replace(|_| true, "0"), "", "' OR 1=1 --"] {
        assert!(!inside(&format!("rimefold_visit={wrong}")), "{wrong}");
    }
    let left = site.ask("POST", "/leave", &[("Cookie", &cookie)], b"");
    assert_eq!(left.status, 303);
    assert!(left.header("set-cookie").is_some_and(|c| c.contains("Max-Age=0")));
    assert!(!inside(&cookie), "the visit has ended, whoever still has the token");
    assert!(inside(&other), "the other goes on");
}

impl Site {
    pub fn until_inside(&self, cookie: &str) {
        let begun = std::time::Instant::now();
        while self.ask("GET", "/beds", &[("Cookie", cookie)], b"").status != 200 {
            assert!(begun.elapsed().as_secs() < 60, "no garden");
            std::thread::sleep(std::time::Duration::from_millis(50));
        }
    }
}

#[test]
fn neither_password_nor_token_can_be_read_back() {
    let site = locked();
    let cookie = come_in(&site);
    let token = cookie.split('=').nth(1).expect("a token").to_owned();
    for file in ["diary.sqlite", "diary.sqlite-wal"] {
        let bytes = std::fs::read(site.garden.path.join(file)).unwrap_or_default();
        for secret in [WORD, token.as_str(), "horse battery"] {
            let found = bytes.windows(secret.len()).any(|w| w == secret.as_bytes());
            assert!(!found, "{file} holds {secret}");
        }
    }
    // What is kept is its SHA-256, by the command of the system where there is one.
    let db = rusqlite::Connection::open(site.garden.database()).expect("it opens");
    let kept: String =
        db.query_row("SELECT token_sha256 FROM visit", [], |r| r.get(0)).expect("a visit");
    let script = format!("printf %s {token} | sha256sum");
    if let Ok(done) = std::process::Command::new("sh").args(["-c", &script]).output()
        && done.status.success()
    {
        let digest = String::from_utf8_lossy(&done.stdout);
        assert_eq!(digest.split(' ').next(), Some(kept.as_str()));
    }
    let exported = site.ask("GET", "/diary.json", &[("Cookie", &cookie)], b"");
    assert_eq!(exported.status, 200);
    assert!(!exported.body.contains(&kept) && !exported.body.contains("argon2"));
}

#[test]
fn a_visit_outlives_the_program_and_not_its_month() {
    let mut site = locked();
    let cookie = come_in(&site);
    let _ = site.child.kill();
    let _ = site.child.wait();
    let file = site.garden.file("word");
    for (at, status) in [("2027-06-13T15:00", 200), ("2027-06-13T17:00", 303)] {
        let again = std::process::Command::new(env!("CARGO_BIN_EXE_rimefold"));
        let mut command = again;
        command.arg("serve").arg(&site.garden.path).args(["--port", "0", "--at", at, "--lan"]);
        command.args(["--password-file", &file]);
        let garden = Garden::new("jura");
        let other = Site::started(garden, command);
        let answer = other.ask("GET", "/standing", &[("Cookie", &cookie)], b"");
        assert_eq!(answer.status, status, "{at}");
    }
}

#[test]
fn wrong_passwords_pause_even_when_they_come_at_once() {
    let site = locked();
    let statuses: Vec<u16> = std::thread::scope(|s| {
        let one = || site.post("/enter", &[("password", "not this one")]).status;
        let all: Vec<_> = (0..12).map(|_| s.spawn(one)).collect();
        all.into_iter().map(|t| t.join().expect("it answers")).collect()
    });
    let count = |status| statuses.iter().filter(|s| **s == status).count();
    assert_eq!((count(403), count(429)), (5, 7), "{statuses:?}");
    // The right one waits as well, else a guess could be told from the pause.
    let answer = site.post("/enter", &[("password", WORD)]);
    assert_eq!(answer.status, 429);
    assert!(answer.body.contains("Wait ") && answer.header("set-cookie").is_none());
}

#[test]
fn the_network_is_not_let_in_without_a_password() {
    let garden = Garden::new("jura");
    let folder = garden.path.display().to_string();
    let run = rimefold(&["serve", &folder, "--port", "0", "--lan"]);
    assert_eq!(run.code, 2, "{}", run.err);
    assert!(run.err.contains("--password-file"), "{}", run.err);
    let short = garden.write("short", "seven77\n");
    let run = rimefold(&["serve", &folder, "--port", "0", "--lan", "--password-file", &short]);
    assert!(run.code == 2 && run.err.contains("8 characters"), "{}", run.err);
    let none = garden.file("none");
    let run = rimefold(&["serve", &folder, "--port", "0", "--lan", "--password-file", &none]);
    assert_eq!(run.code, 5, "{}", run.err);
}

#[test]
fn a_port_that_is_taken_is_told() {
    let site = serve();
    let folder = site.garden.path.display().to_string();
    let run = rimefold(&["serve", &folder, "--port", &site.port.to_string()]);
    assert_eq!(run.code, 9, "{}", run.err);
    assert!(run.err.contains("--port"), "{}", run.err);
}

#[test]
fn a_new_password_ends_every_visit_and_the_same_one_none() {
    let mut site = locked();
    let cookie = come_in(&site);
    let _ = site.child.kill();
    let _ = site.child.wait();
    let again = |word: &str| {
        let file = site.garden.write("word", format!("{word}\n"));
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_rimefold"));
        command.arg("serve").arg(&site.garden.path).args(["--port", "0", "--at", AFTERNOON]);
        command.args(["--lan", "--password-file", &file]);
        let other = Site::started(Garden::new("jura"), command);
        other.ask("GET", "/standing", &[("Cookie", &cookie)], b"").status
    };
    assert_eq!(again(WORD), 200);
    assert_eq!(again("another horse battery"), 303);
    assert_eq!(again(WORD), 303, "ended is ended");
}

#[test]
fn signing_out_everywhere_ends_every_visit() {
    let site = locked();
    let (one, other) = (come_in(&site), come_in(&site));
    site.until_inside(&one);
    let inside = |c: &str| site.ask("GET", "/beds", &[("Cookie", c)], b"");
    assert!(inside(&one).body.contains("action=\"/leave/everywhere\""));
    let left = site.ask("POST", "/leave/everywhere", &[("Cookie", &one)], b"");
    assert_eq!((left.status, left.header("location")), (303, Some("/enter")));
    assert_eq!((inside(&one).status, inside(&other).status), (303, 303));
    let stranger = site.ask("POST", "/leave/everywhere", &[("Cookie", "rimefold_visit=0")], b"");
    assert_eq!(stranger.status, 303);
    site.until_inside(&come_in(&site));
}
