//! `rimefold watch` and the pages that tell people, against receivers of our own on the loopback.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpListener;
use std::path::Path;
use std::sync::{Arc, Mutex};

use serde_json::Value;
use sha2::{Digest as _, Sha256};

use crate::diary::Garden;
use crate::harness::{Ask, Run};
use crate::pages::Site;

/// A receiver of messages: keeps each head and body, answers with a status.
struct Receiver {
    address: String,
    came: Arc<Mutex<Vec<(String, String)>>>,
}

impl Receiver {
    fn new(status: &'static str) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
        let address = format!("http://{}/garden", listener.local_addr().expect("an address"));
        let came = Arc::new(Mutex::new(Vec::new()));
        let kept = Arc::clone(&came);
        std::thread::spawn(move || {
            for stream in listener.incoming() {
                let Ok(mut stream) = stream else { return };
                let mut lines = BufReader::new(stream.try_clone().expect("a stream"));
                let mut head = String::new();
                while lines.read_line(&mut head).is_ok_and(|n| n > 2) {}
                let head = head.to_lowercase();
                let length = head.split("content-length: ").nth(1).and_then(|r| r.lines().next());
                let mut body = vec![0; length.and_then(|l| l.parse().ok()).unwrap_or(0)];
                let _ = lines.read_exact(&mut body);
                let body = String::from_utf8(body).expect("text");
                kept.lock().expect("the messages").push((head, body));
                let _ = write!(
                    stream,
                    "HTTP/1.1 {status}\r\nContent-Length: 0\r\nConnection: close\r\n\r\n"
                );
            }
        });
        Self { address, came }
    }

    /// Head and body of each message that came.
    fn came(&self) -> Vec<(String, Value)> {
        let came = self.came.lock().expect("the messages");
        came.iter().map(|(h, b)| (h.clone(), serde_json::from_str(b).expect("JSON"))).collect()
    }

    fn kinds(&self) -> Vec<String> {
        let kind =
            |(_, body): (String, Value)| body["kind"].as_str().unwrap_or_default().to_owned();
        self.came().into_iter().map(kind).collect()
    }
}

/// The garden of Wisconsin that tells Ann; on the evening of 14 May 2027 eight beds must be covered.
fn garden(receiver: &Receiver, more: &str) -> Garden {
    let garden = Garden::new("wisconsin");
    let file = std::fs::read_to_string(garden.path.join("garden.toml")).expect("a file");
    let to = &receiver.address;
    let tell = format!("[[tell]]\nname = \"Ann\"\nby = \"webhook\"\nto = \"{to}\"\n{more}");
    garden.write("garden.toml", format!("{file}\n{tell}"));
    garden
}

fn watch(gardens: &[&Garden], at: &str) -> Run {
    let folders: Vec<String> = gardens.iter().map(|g| g.path.display().to_string()).collect();
    let folders: Vec<&str> = folders.iter().map(String::as_str).collect();
    Ask::new(&[&["watch", "--once", "--at", at], &folders[..]].concat()).run()
}

/// HMAC-SHA256 as RFC 2104 writes it.
fn hmac(key: &[u8], text: &[u8]) -> Vec<u8> {
    let mut block = [0_u8; 64];
    block[..key.len()].copy_from_slice(key);
    let pad = |with: u8| block.map(|b| b ^ with);
    let inner = Sha256::digest([&pad(0x36)[..], text].concat());
    Sha256::digest([&pad(0x5c)[..], &inner[..]].concat()).to_vec()
}

/// Base 64 as RFC 4648 writes it.
fn base64(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::new();
    for three in bytes.chunks(3) {
        let bits =
            three.iter().fold(0_u32, |n, b| n << 8 | u32::from(*b)) << (8 * (3 - three.len()));
        for digit in 0..4 {
            let at = (bits >> (18 - 6 * digit) & 63) as usize;
            out.push(if digit > three.len() { '=' } else { char::from(DIGITS[at]) });
        }
    }
    out
}

/// RFC 4231, test case 2; RFC 4648, section 10.
#[test]
fn the_test_s_own_signature_is_right() {
    let hex: String =
        hmac(b"Jefe", b"what do ya want for nothing?").iter().map(|b| format!("{b:02x}")).collect();
    assert_eq!(hex, "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843");
    let rows = [("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foobar", "Zm9vYmFy")];
    assert!(rows.iter().all(|(text, code)| base64(text.as_bytes()) == *code));
}

#[test]
fn a_webhook_is_signed_and_sent_once() {
    let receiver = Receiver::new("204 No Content");
    let garden = garden(&receiver, "");
    watch(&[&garden], "2027-05-14T13:00").code(0);
    assert!(receiver.came().is_empty(), "the evening is told at three");
    for at in ["2027-05-14T15:00", "2027-05-14T15:10", "2027-05-14T18:00"] {
        watch(&[&garden], at).code(0);
    }
    let came = receiver.came();
    assert_eq!(came.len(), 1, "{:?}", receiver.kinds());
    let (head, body) = &came[0];
    let field = |name: &str| {
        let rest = head.split(&format!("\n{name}: ")).nth(1).expect("a header");
        rest.lines().next().unwrap_or_default().to_owned()
    };
    let secret = std::fs::read_to_string(garden.path.join("webhook-secret")).expect("a secret");
    let raw = receiver.came.lock().expect("the messages")[0].1.clone();
    let signed = format!("{}.{}.{raw}", field("webhook-id"), field("webhook-timestamp"));
    let expected = format!("v1,{}", base64(&hmac(secret.trim().as_bytes(), signed.as_bytes())));
    assert_eq!(field("webhook-signature"), expected.to_lowercase());
    assert_eq!(body["id"].as_str(), Some(field("webhook-id").as_str()));
    crate::schema::valid("message", &Run::new(&["watch"], 0, raw, String::new()));
    let lines: Vec<&str> =
        body["lines"].as_array().expect("lines").iter().filter_map(Value::as_str).collect();
    assert!(
        lines[0].starts_with("Cover 8 beds. Two people, ") && lines[0].contains("start by "),
        "{lines:?}"
    );
    assert!(lines.iter().any(|l| l.starts_with("1. strawberries: ")), "{lines:?}");
}

#[test]
fn a_refused_message_is_tried_again_and_stands_in_the_diary_with_the_reason() {
    let refusing = Receiver::new("503 Service Unavailable");
    let garden = garden(&refusing, "");
    watch(&[&garden], "2027-05-14T15:00").code(0);
    watch(&[&garden], "2027-05-14T15:30").code(0);
    assert_eq!(refusing.kinds(), ["evening", "evening"]);
    let ids: Vec<Value> = refusing.came().into_iter().map(|(_, b)| b["id"].clone()).collect();
    assert_eq!(ids[0], ids[1], "the same message keeps its name");
    let diary = rusqlite::Connection::open(garden.database()).expect("a diary");
    let count = |sql: &str| diary.query_row(sql, [], |r| r.get::<_, i64>(0)).expect("a number");
    assert_eq!(count("SELECT count(*) FROM message"), 1);
    assert_eq!(count("SELECT count(*) FROM delivery WHERE refused LIKE '%503%'"), 2);
}

#[test]
fn one_process_watches_many_gardens_and_names_the_one_with_faults() {
    let receiver = Receiver::new("200 OK");
    let gardens: Vec<Garden> = (0..3).map(|_| garden(&receiver, "")).collect();
    let all: Vec<&Garden> = gardens.iter().collect();
    watch(&all, "2027-05-14T15:00").code(0);
    assert_eq!(receiver.kinds(), ["evening"; 3]);
    gardens[1].write("garden.toml", "name = 5");
    let run = watch(&all, "2027-05-14T15:10").code(3);
    assert!(run.err.contains(&gardens[1].path.display().to_string()), "{}", run.err);
}

#[test]
fn without_a_forecast_the_evening_says_so() {
    let receiver = Receiver::new("200 OK");
    let garden = garden(&receiver, "[watch]\nlink = \"http://192.168.1.20:8517/\"\n");
    std::fs::remove_file(garden.path.join("forecast.json")).expect("removed");
    watch(&[&garden], "2027-05-14T15:00").code(0);
    let came = receiver.came();
    assert_eq!(receiver.kinds(), ["no plan"]);
    let lines = came[0].1["lines"].as_array().expect("lines").clone();
    assert!(
        lines[0].as_str().is_some_and(|l| l.contains("look at a forecast yourself")),
        "{lines:?}"
    );
    assert_eq!(lines.last().and_then(Value::as_str), Some("http://192.168.1.20:8517/"));
}

/// Of the eleven nights around 26 April an invented record has 5 + s frosts, 11 at most, in a year that ends in s: 89 in ten years,
/// 293 of 374 in 1990 to 2023.
#[test]
fn without_a_forecast_the_station_s_past_is_told() {
    let receiver = Receiver::new("200 OK");
    let garden = garden(&receiver, "");
    std::fs::remove_file(garden.path.join("forecast.json")).expect("removed");
    garden.write("station.csv", crate::station::record());
    watch(&[&garden], "2027-04-25T15:00").code(0);
    let lines = receiver.came()[0].1["lines"].clone();
    let expected = "At your station 293 of 374 nights around this date froze (1990 to 2023); one in ten was colder than 30 °F.";
    assert_eq!(lines[1].as_str(), Some(expected), "{lines:?}");
}

/// Elements of an alert in the order of the schema of CAP 1.2, section 3.4 (OASIS, 1 July 2010), from memory; those that it
/// requires are all there.
#[test]
fn the_pages_tell_show_what_was_told_and_take_an_answer() {
    let receiver = Receiver::new("200 OK");
    let own = garden(&receiver, "");
    let site = Site::of(own, &["--at", "2027-05-14T16:00"]);
    site.ready();
    let told = site.until("/messages", |a| a.body.contains("reached Ann"));
    assert!(told.body.contains("Cover 8 beds."), "{}", told.body);
    assert_eq!(receiver.kinds(), ["evening"]);
    let id = receiver.came()[0].1["id"].as_str().expect("an id").to_owned();
    let alert = site.get(&format!("/messages/{id}"));
    assert_eq!(alert.header("content-type"), Some("application/cap+xml; charset=utf-8"));
    let names: Vec<&str> = alert
        .body
        .split('<')
        .filter_map(|part| part.split('>').next())
        .filter(|n| n.starts_with(|c: char| c.is_ascii_lowercase()))
        .map(|n| n.split(' ').next().unwrap_or_default())
        .collect();
    let expected = [
        "alert",
        "identifier",
        "sender",
        "sent",
        "status",
        "msgType",
        "scope",
        "addresses",
        "info",
        "language",
        "category",
        "event",
        "responseType",
        "urgency",
        "severity",
        "certainty",
        "expires",
        "headline",
        "description",
        "area",
        "areaDesc",
        "circle",
    ];
    assert_eq!(names, expected);
    assert!(
        alert.body.contains("<sent>2027-05-14T16:0") && alert.body.contains("-05:00</sent>"),
        "{}",
        alert.body
    );
    // Nobody need answer what can wait; one that was never told is not there.
    assert!(!told.body.contains("I have seen it"), "{}", told.body);
    assert_eq!(site.post("/messages", &[("id", &id)]).status, 303);
    assert!(site.get("/messages").body.contains("Seen."));
    assert_eq!(site.post("/messages", &[("id", &"0".repeat(32))]).status, 404);
    assert_eq!(site.get("/messages/nothing").status, 404);
}

/// Everything under a folder.
fn bytes_under(folder: &Path) -> Vec<(std::path::PathBuf, Vec<u8>)> {
    let entries = std::fs::read_dir(folder).expect("a folder").map(|e| e.expect("an entry").path());
    entries
        .flat_map(|path| {
            if path.is_dir() {
                bytes_under(&path)
            } else {
                vec![(path.clone(), std::fs::read(path).expect("a file"))]
            }
        })
        .collect()
}

#[test]
fn no_secret_leaves_its_own_file() {
    const PASSWORD: &str = "correct-horse-of-this-test";
    let receiver = Receiver::new("200 OK");
    let mail = "[[tell]]\nname = \"Ben\"\nby = \"mail\"\nto = \"ben@example.org\"\n\
                [mail]\nserver = \"localhost\"\nport = 9\nsecurity = \"none\"\nuser = \"me\"\nfrom = \"me@example.org\"\n";
    let own = garden(&receiver, mail);
    own.write("mail-password", PASSWORD);
    // A file that others can read is not used, and that is told.
    let open = watch(&[&own], "2027-05-14T15:00").code(0);
    let refused = |garden: &Garden| -> Vec<String> {
        let diary = rusqlite::Connection::open(garden.database()).expect("a diary");
        let mut query =
            diary.prepare("SELECT refused FROM delivery WHERE recipient = 'Ben'").expect("a query");
        query.query_map([], |r| r.get(0)).expect("rows").map(|r| r.expect("text")).collect()
    };
    assert!(refused(&own)[0].contains("chmod 600"), "{:?}", refused(&own));
    {
        use std::os::unix::fs::PermissionsExt as _;
        let closed = std::fs::Permissions::from_mode(0o600);
        std::fs::set_permissions(own.path.join("mail-password"), closed).expect("closed");
    }
    let closed = watch(&[&own], "2027-05-14T15:30").code(0);
    assert_eq!(refused(&own).len(), 2, "nothing listens on port 9: {:?}", refused(&own));
    let webhook = std::fs::read_to_string(own.path.join("webhook-secret")).expect("a secret");
    let exported = own.path.join("exported");
    let folder = exported.display().to_string();
    own.diary(&["export", "--to", &folder]);
    let mut shown = [open, closed].map(|r| r.out + &r.err).to_vec();
    let site = Site::of(own, &["--at", "2027-05-14T16:00"]);
    site.ready();
    // A phone's address lets anybody write to it. Nothing listens there either.
    const PHONE: &str = "http://127.0.0.1:9/phone-of-this-test";
    const AUTH: &str = "c2VjcmV0LW9mLXRlc3Q";
    let phone = [
        ("endpoint", PHONE),
        ("p256dh", "BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIg"),
        ("auth", AUTH),
    ];
    assert_eq!(site.post("/phones", &phone).status, 303);
    site.until("/messages", |a| a.body.contains("did not reach phone 1"));
    let key = std::fs::read_to_string(site.garden.path.join("push-key")).expect("a key");
    for path in
        ["/", "/messages", "/diary", "/diary.json", "/diary.csv", "/garden", "/knows", "/sensors"]
    {
        shown.push(site.get(path).body);
    }
    for secret in [PASSWORD, webhook.trim(), PHONE, AUTH, key.trim()] {
        assert!(shown.iter().all(|s| !s.contains(secret)));
        for (path, bytes) in bytes_under(&site.garden.path) {
            let name = path.file_name().and_then(|n| n.to_str()).unwrap_or_default();
            let keeps =
                ["mail-password", "webhook-secret", "push-phones", "push-key"].contains(&name);
            let holds = bytes.windows(secret.len()).any(|w| w == secret.as_bytes());
            assert!(keeps || !holds, "{}", path.display());
        }
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        for name in ["webhook-secret", "push-phones", "push-key"] {
            let file = std::fs::metadata(site.garden.path.join(name)).expect("there");
            assert_eq!(file.permissions().mode() & 0o777, 0o600, "{name}");
        }
    }
}
