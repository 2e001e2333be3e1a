//! The pages through the real program: who gets in, what a browser may do, editing, faults, nights when clocks change.

mod clock;
pub mod door;
mod edit;
mod faults;
mod first_garden;
mod flood;
mod guard;
mod load;
mod meanwhile;
mod nights;
mod phone;
#[cfg(target_os = "linux")]
mod power;
mod slow;
mod stop;

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crate::diary::Garden;

/// The afternoon that the invented gardens are asked on.
pub const AFTERNOON: &str = "2027-05-14T16:00";
/// Every page that is there without a password, but for the files to keep.
pub const PAGES: [&str; 18] = [
    "/",
    "/nights",
    "/beds",
    "/beds/1",
    "/beds/new",
    "/garden",
    "/stock",
    "/stock/1",
    "/stock/new",
    "/year",
    "/diary",
    "/calendar",
    "/messages",
    "/sensors",
    "/knows",
    "/forecast",
    "/station",
    "/print/night",
];

/// A served garden.
pub struct Site {
    pub garden: Garden,
    pub child: Child,
    pub port: u16,
}

/// What came back.
#[derive(Clone, Debug)]
pub struct Answer {
    pub status: u16,
    pub headers: Vec<(String, String)>,
    pub body: String,
}

impl Answer {
    pub fn header(&self, name: &str) -> Option<&str> {
        self.headers.iter().find(|h| h.0 == name).map(|h| h.1.as_str())
    }

    /// Takes an answer apart; `None` where the line was cut before a head came.
    pub fn read(raw: &[u8]) -> Option<Self> {
        let text = String::from_utf8_lossy(raw);
        let (head, body) = text.split_once("\r\n\r\n")?;
        let mut lines = head.lines();
        let status = lines.next()?.split(' ').nth(1)?.parse().ok()?;
        let header = |l: &str| {
            let (name, value) = l.split_once(':')?;
            Some((name.to_lowercase(), value.trim().to_owned()))
        };
        Some(Self { status, headers: lines.filter_map(header).collect(), body: body.to_owned() })
    }
}

/// A garden folder of the demonstration in Jura, served in the afternoon.
pub fn serve() -> Site {
    Site::of(Garden::new("jura"), &["--at", AFTERNOON])
}

impl Site {
    pub fn of(garden: Garden, args: &[&str]) -> Self {
        let mut command = Command::new(env!("CARGO_BIN_EXE_rimefold"));
        command.arg("serve").arg(&garden.path).args(["--port", "0"]).args(args);
        Self::started(garden, command)
    }

    pub fn started(garden: Garden, mut command: Command) -> Self {
        let spawned =
            command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::piped()).spawn();
        let mut child = spawned.expect("it starts");
        let mut lines = BufReader::new(child.stderr.take().expect("stderr")).lines();
        let port = lines
            .by_ref()
            .map_while(Result::ok)
            .find_map(|l| l.split("http://").nth(1)?.split([':', ' ']).nth(1)?.parse().ok())
            .expect("it says where it listens");
        std::thread::spawn(move || for _ in lines {});
        Self { garden, child, port }
    }

    pub fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).expect("it listens");
        stream.set_read_timeout(Some(Duration::from_secs(60))).expect("a limit");
        stream
    }

    /// Sends a request; `None` where the line was cut.
    pub fn try_ask(
        &self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: &[u8],
    ) -> Option<Answer> {
        let mut stream = self.connect();
        let mut head = format!("{method} {path} HTTP/1.1\r\nConnection: close\r\n");
        if !headers.iter().any(|h| h.0 == "Host") {
            head += &format!("Host: 127.0.0.1:{}\r\n", self.port);
        }
        for (name, value) in headers {
            head += &format!("{name}: {value}\r\n");
        }
        if method == "POST" {
            head += &format!("Content-Length: {}\r\n", body.len());
        }
        stream.write_all(head.as_bytes()).ok()?;
        stream.write_all(b"\r\n").ok()?;
        // A server that has refused may hang up before it has read all.
        let _ = stream.write_all(body);
        let mut raw = Vec::new();
        let _ = stream.read_to_end(&mut raw);
        Answer::read(&raw)
    }

    pub fn ask(&self, method: &str, path: &str, headers: &[(&str, &str)], body: &[u8]) -> Answer {
        self.try_ask(method, path, headers, body).expect("an answer")
    }

    pub fn get(&self, path: &str) -> Answer {
        self.ask("GET", path, &[], b"")
    }

    pub fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        self.ask("POST", path, &[FORM], encoded(fields).as_bytes())
    }

    /// Sends a form as a page showed it, some of its fields changed, added or (with `None`) left out.
    pub fn submit(&self, page: &str, changes: &[(&str, Option<&str>)]) -> Answer {
        let mut fields = form(&self.get(page).body, page);
        for (name, value) in changes {
            fields.retain(|f| f.0 != *name);
            fields.extend(value.map(|v| ((*name).to_owned(), v.to_owned())));
        }
        let fields: Vec<(&str, &str)> =
            fields.iter().map(|f| (f.0.as_str(), f.1.as_str())).collect();
        self.post(page, &fields)
    }

    /// Waits until the plan is made.
    pub fn ready(&self) {
        self.until("/standing", |a| a.body == "ready\n");
    }

    /// Asks until the answer is right.
    pub fn until(&self, path: &str, right: impl Fn(&Answer) -> bool) -> Answer {
        let begun = Instant::now();
        loop {
            let answer = self.get(path);
            if right(&answer) {
                return answer;
            }
            assert!(begun.elapsed() < Duration::from_secs(90), "{path}: {}", answer.body);
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    pub fn file(&self, name: &str) -> String {
        std::fs::read_to_string(self.garden.path.join(name)).expect("it is there")
    }

    /// The ids of the notes in the diary, by SQLite itself.
    pub fn notes(&self) -> Vec<String> {
        notes(&self.garden.database())
    }
}

impl Drop for Site {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

pub const FORM: (&str, &str) = ("Content-Type", "application/x-www-form-urlencoded");

pub fn notes(database: &Path) -> Vec<String> {
    // Never made here where it is not there.
    let db = rusqlite::Connection::open_with_flags(
        database,
        rusqlite::OpenFlags::SQLITE_OPEN_READ_WRITE,
    );
    let db = db.expect("it opens");
    let mut query = db.prepare("SELECT id FROM entry ORDER BY number").expect("a query");
    query.query_map([], |r| r.get(0)).expect("rows").map(|id| id.expect("an id")).collect()
}

/// Fields as a browser sends them: <https://url.spec.whatwg.org/#concept-urlencoded-serializer>.
pub fn encoded(fields: &[(&str, &str)]) -> String {
    let one = |text: &str| -> String {
        let byte = |b: u8| match b {
            b' ' => "+".to_owned(),
            b if b.is_ascii_alphanumeric() || b"*-._".contains(&b) => char::from(b).to_string(),
            b => format!("%{b:02X}"),
        };
        text.bytes().map(byte).collect()
    };
    fields.iter().map(|(n, v)| format!("{}={}", one(n), one(v))).collect::<Vec<_>>().join("&")
}

/// What a browser would send of the first form with this action, nothing touched.
pub fn form(html: &str, action: &str) -> Vec<(String, String)> {
    let start = html.find(&format!("action=\"{action}\"")).expect("the form");
    let inside = html[start..].split("</form>").next().expect("its end");
    let mut out: Vec<(String, String)> = Vec::new();
    let mut select: Option<(String, Option<String>, bool)> = None;
    for piece in inside.split('<').skip(1) {
        let (tag, text) = piece.split_once('>').unwrap_or((piece, ""));
        let ticked = !tag.contains("type=\"checkbox\"") || tag.ends_with(" checked");
        if tag.starts_with("input") && ticked {
            let name = attribute(tag, "name").expect("a name");
            out.push((name, attribute(tag, "value").unwrap_or_default()));
        } else if tag.starts_with("select") {
            select = Some((attribute(tag, "name").expect("a name"), None, false));
        } else if tag.starts_with("option") {
            let value = attribute(tag, "value").unwrap_or_else(|| plain(text));
            let chosen = tag.ends_with(" selected");
            if let Some((_, kept, sure)) = &mut select
                && (kept.is_none() || chosen && !*sure)
            {
                (*kept, *sure) = (Some(value), chosen);
            }
        } else if tag == "/select"
            && let Some((name, Some(value), _)) = select.take()
        {
            out.push((name, value));
        }
    }
    out
}

fn attribute(tag: &str, name: &str) -> Option<String> {
    Some(plain(tag.split(&format!(" {name}=\"")).nth(1)?.split('"').next()?))
}

/// Text whose marks were escaped.
pub fn plain(text: &str) -> String {
    let marks = [("&#60;", "<"), ("&#62;", ">"), ("&#34;", "\""), ("&#39;", "'"), ("&#38;", "&")];
    marks.iter().fold(text.to_owned(), |t, (mark, sign)| t.replace(mark, sign))
}

/// The names of the fields that are marked as wrong.
pub fn marked(html: &str) -> Vec<String> {
    html.split('<')
        .filter(|piece| piece.contains("aria-invalid=\"true\""))
        .filter_map(|piece| attribute(piece, "name"))
        .collect()
}
