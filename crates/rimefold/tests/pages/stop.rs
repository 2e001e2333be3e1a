//! After the program has stopped, and soon after a note while it runs, the diary's one file holds everything.

use std::time::{Duration, Instant};

use super::serve;
use crate::diary::rescue::alone;

fn cover(n: u32) -> [(&'static str, String); 3] {
    [("id", format!("{n:032x}")), ("bed", "leeks".into()), ("act", "covered".into())]
}

fn post(site: &super::Site, n: u32) {
    let fields = cover(n);
    let fields: Vec<(&str, &str)> = fields.iter().map(|f| (f.0, f.1.as_str())).collect();
    assert_eq!(site.post("/cover", &fields).status, 303);
}

#[cfg(unix)]
#[test]
fn after_an_orderly_stop_the_diary_is_one_file() {
    // Told to end, control-C, and the terminal closed.
    for signal in ["-TERM", "-INT", "-HUP"] {
        let mut site = serve();
        for n in 0..20 {
            post(&site, n);
        }
        // At once, while the plan is being made.
        let id = site.child.id().to_string();
        let done = std::process::Command::new("kill").args([signal, &id]).status();
        assert!(done.is_ok_and(|s| s.success()));
        let status = site.child.wait().expect("it ends");
        assert_eq!(status.code(), Some(0), "{signal}");
        for end in ["-wal", "-shm", "-journal"] {
            let file = site.garden.path.join(format!("diary.sqlite{end}"));
            assert!(!file.exists(), "{signal}: {end}");
        }
        assert_eq!(alone(&site.garden.database()), 20, "{signal}");
    }
}

#[test]
fn soon_after_a_note_the_file_alone_holds_it() {
    let site = serve();
    site.ready();
    post(&site, 1);
    let begun = Instant::now();
    while alone(&site.garden.database()) < 1 {
        assert!(begun.elapsed() < Duration::from_secs(10), "it waits beside the file");
        std::thread::sleep(Duration::from_millis(100));
    }
    // What the command line writes meanwhile goes in too.
    site.garden.noted(&["voles", "leeks"]);
    while alone(&site.garden.database()) < 2 {
        assert!(begun.elapsed() < Duration::from_secs(20), "it waits beside the file");
        std::thread::sleep(Duration::from_millis(100));
    }
}

#[test]
fn notes_go_into_the_diary_that_is_there_now() {
    let site = serve();
    site.ready();
    post(&site, 1);
    // As a restore does with a damaged one.
    std::thread::sleep(Duration::from_secs(3));
    let aside = site.garden.path.join("aside.sqlite");
    let other = crate::diary::Garden::new("jura");
    other.noted(&["voles", "leeks"]);
    std::fs::rename(site.garden.database(), &aside).expect("moved");
    std::fs::copy(other.database(), site.garden.database()).expect("copied");
    post(&site, 2);
    assert_eq!(site.notes().len(), 2, "in the new one");
    site.until("/diary", |a| a.body.contains("voles"));
}

#[test]
fn a_damaged_diary_is_told_on_every_page() {
    let garden = crate::diary::Garden::new("jura");
    garden.noted(&["voles", "leeks"]);
    let mut bytes = std::fs::read(garden.database()).expect("there");
    for n in (8192..bytes.len()).step_by(97) {
        bytes[n] ^= 0x55;
    }
    for bytes in [b"no database, only words. ".repeat(400), bytes] {
        std::fs::write(garden.database(), &bytes).expect("written");
        let path = garden.path.clone();
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_rimefold"));
        command.arg("serve").arg(&path).args(["--port", "0", "--at", super::AFTERNOON]);
        let site = super::Site::started(crate::diary::Garden::new("jura"), command);
        site.ready();
        for page in super::PAGES {
            let answer = site.get(page);
            assert_eq!(answer.status, 200, "{page}");
            assert!(answer.body.contains("The diary is damaged"), "{page}");
            assert!(answer.body.contains("restore BACKUP"), "{page}");
        }
        // On a page that is being made while nothing is damaged it is not said.
    }
    assert!(!serve().get("/diary").body.contains("The diary is damaged"));
}
