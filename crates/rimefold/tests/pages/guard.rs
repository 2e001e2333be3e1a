//! Names, headers, foreign pages, sizes, paths and marks.

use super::{AFTERNOON, FORM, PAGES, Site, encoded, serve};
use crate::diary::Garden;

/// Rules every answer carries. Sources: OWASP HTTP Headers Cheat Sheet; W3C Content Security Policy Level 3.
fn ruled(path: &str, answer: &super::Answer) {
    let policy = answer.header("content-security-policy").unwrap_or_default();
    for rule in [
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    ] {
        assert!(policy.contains(rule), "{path}: {rule} is not in {policy}");
    }
    assert!(!policy.contains("unsafe"), "{path}: {policy}");
    assert_eq!(answer.header("x-content-type-options"), Some("nosniff"), "{path}");
    assert_eq!(answer.header("referrer-policy"), Some("same-origin"), "{path}");
    assert_eq!(answer.header("cross-origin-opener-policy"), Some("same-origin"), "{path}");
    assert_eq!(answer.header("cross-origin-resource-policy"), Some("same-origin"), "{path}");
    assert!(answer.header("cache-control").is_some(), "{path}");
}

#[test]
fn every_answer_carries_the_rules_and_every_page_is_small() {
    let site = serve();
    site.ready();
    let page = site.get("/").body;
    let linked = |start: &str| {
        let after = page.split(start).nth(1).expect("it is linked");
        after.split('"').next().expect("its end").to_owned()
    };
    let style = site.get(&linked("rel=\"stylesheet\" href=\""));
    let script = site.get(&linked("<script src=\""));
    assert_eq!((style.status, script.status), (200, 200));
    let around = style.body.len() + script.body.len();
    for path in PAGES {
        let answer = site.get(path);
        assert_eq!(answer.status, 200, "{path}");
        ruled(path, &answer);
        // What the policy forbids would not work.
        for inline in ["<style", "style=\"", "onclick=", "javascript:", "<script>"] {
            assert!(!answer.body.contains(inline), "{path} has {inline}");
        }
        let size = answer.body.len() + around;
        assert!(size < 60_000, "{path} with style and script has {size} bytes");
    }
    let odd = [
        ("GET", "/none", 404),
        ("GET", "/beds/99", 404),
        ("GET", "/beds/0", 404),
        ("GET", "/stock/x", 404),
        ("DELETE", "/beds", 405),
        ("PUT", "/", 405),
        ("GET", "/cover", 405),
        ("GET", "/leave", 405),
        ("POST", "/cover", 415),
        ("GET", "/diary?all=%FF&all=1", 400),
    ];
    for (method, path, status) in odd {
        let answer = site.ask(method, path, &[], b"");
        assert_eq!(answer.status, status, "{method} {path}");
        ruled(path, &answer);
    }
    let foreign = site.ask("GET", "/", &[("Host", "elsewhere.example")], b"");
    assert_eq!(foreign.status, 421);
    ruled("a foreign name", &foreign);
}

#[test]
fn only_our_own_names_are_answered() {
    let args = ["--at", AFTERNOON, "--lan", "--name", "garden.home"];
    let garden = Garden::new("jura");
    let file = garden.write("word", "correct horse\n");
    let named = Site::of(garden, &[&args[..], &["--password-file", &file]].concat());
    let alone = serve();
    for (host, known) in [
        ("localhost", true),
        ("LocalHost:8517", true),
        ("127.0.0.1", true),
        ("192.168.1.20:8517", true),
        ("[::1]:8517", true),
        ("elsewhere.example", false),
        ("localhost.elsewhere.example", false),
        ("127.0.0.1.elsewhere.example", false),
        ("garden.home.elsewhere.example", false),
        ("[::1", false),
        ("", false),
    ] {
        let status = if known { 200 } else { 421 };
        assert_eq!(alone.ask("GET", "/standing", &[("Host", host)], b"").status, status, "{host}");
    }
    for (site, status) in [(&named, 200), (&alone, 421)] {
        assert_eq!(site.ask("GET", "/enter", &[("Host", "garden.home:80")], b"").status, status);
    }
}

#[test]
fn it_listens_on_this_machine_alone_unless_it_is_told_to() {
    let site = serve();
    // Linux alone tells which addresses a port listens on, in this file; elsewhere nothing is checked here.
    let Ok(table) = std::fs::read_to_string("/proc/net/tcp") else { return };
    let port = format!(":{:04X}", site.port);
    let listening: Vec<&str> = table
        .lines()
        .filter_map(|l| {
            let mut cells = l.split_whitespace();
            let address = cells.nth(1)?;
            (cells.nth(1) == Some("0A") && address.ends_with(&port)).then_some(address)
        })
        .collect();
    assert_eq!(listening, [format!("0100007F{port}")]);
}

#[test]
fn a_foreign_page_cannot_post() {
    let site = serve();
    site.ready();
    let own = format!("http://127.0.0.1:{}", site.port);
    let body = encoded(&[("id", ""), ("bed", "leeks"), ("act", "covered"), ("back", "/")]);
    let mut kept = 0;
    for (headers, passes) in [
        (vec![("Sec-Fetch-Site", "same-origin"), ("Origin", own.as_str())], true),
        (vec![("Origin", own.as_str())], true),
        // A browser always says one of both with a post; what says neither is no browser.
        (vec![], true),
        (vec![("Sec-Fetch-Site", "cross-site"), ("Origin", "http://elsewhere.example")], false),
        (vec![("Sec-Fetch-Site", "same-site")], false),
        (vec![("Origin", "http://elsewhere.example")], false),
        (vec![("Origin", "null")], false),
        (vec![("Origin", "http://127.0.0.1:1")], false),
    ] {
        let answer = site.ask("POST", "/cover", &[&[FORM], &headers[..]].concat(), body.as_bytes());
        assert_eq!(answer.status, if passes { 303 } else { 403 }, "{headers:?}");
        kept += usize::from(passes);
    }
    assert_eq!(site.notes().len(), kept);
}

#[test]
fn nobody_is_sent_on_to_a_foreign_place() {
    let site = serve();
    site.ready();
    for (back, on_to) in [
        ("/diary#kept", "/diary#kept"),
        ("/", "/"),
        ("", "/"),
        ("https://elsewhere.example/", "/"),
        ("//elsewhere.example", "/"),
        ("/\\elsewhere.example", "/"),
        ("\\\\elsewhere.example", "/"),
        ("/\t/elsewhere.example", "/"),
        ("\t//elsewhere.example", "/"),
        ("/\r\nLocation: https://elsewhere.example", "/"),
        ("/\n/elsewhere.example", "/"),
        ("javascript:alert(1)", "/"),
        ("/bed/é", "/"),
    ] {
        let form = [("id", ""), ("bed", "leeks"), ("act", "covered"), ("back", back)];
        let answer = site.post("/cover", &form);
        assert_eq!((answer.status, answer.header("location")), (303, Some(on_to)), "{back:?}");
    }
}

#[test]
fn what_is_too_large_is_refused_and_the_next_request_is_answered() {
    let site = serve();
    site.ready();
    let large = vec![b'x'; 33 * 1024 * 1024];
    for path in ["/diary", "/forecast", "/garden", "/cover"] {
        // Some browsers have read the refusal, some have been hung up on while they still sent; none waits.
        let begun = std::time::Instant::now();
        if let Some(answer) = site.try_ask("POST", path, &[FORM], &large) {
            assert_eq!(answer.status, 413, "{path}");
        }
        assert!(begun.elapsed().as_secs() < 15, "{path}");
        assert_eq!(site.get("/standing").status, 200);
    }
    // Said beforehand, it is refused before it is sent.
    let mut stream = site.connect();
    let head = "POST /diary HTTP/1.1\r\nHost: localhost\r\nContent-Length: 99999999\r\n\r\n";
    std::io::Write::write_all(&mut stream, head.as_bytes()).expect("sent");
    let mut first = [0; 12];
    std::io::Read::read_exact(&mut stream, &mut first).expect("an answer");
    assert_eq!(&first, b"HTTP/1.1 413");
}

#[test]
fn paths_lead_nowhere_else() {
    let site = serve();
    site.ready();
    for path in [
        "/../garden.toml",
        "/beds/../../garden.toml",
        "/beds/..%2F..%2Fgarden.toml",
        "/%2e%2e/garden.toml",
        "/garden.toml",
        "/diary.sqlite",
        "//etc/passwd",
        "/beds/1%00",
        "/beds/-1",
        "/beds/18446744073709551616",
        "/stock/%F0%9F%A5%95",
        "/style.css/../garden.toml",
    ] {
        let answer = site.get(path);
        assert!(matches!(answer.status, 400 | 404), "{path}: {}", answer.status);
        assert!(!answer.body.contains("[[bed]]"), "{path}");
    }
}

#[test]
fn names_and_words_with_marks_are_shown_as_they_are() {
    let evil = "<b>salads</b> & \"'co";
    let garden = Garden::new("jura");
    let text = std::fs::read_to_string(garden.path.join("garden.toml")).expect("there");
    let text = text
        .replace("\"salads\"", "'''<b>salads</b> & \"'co'''")
        .replace("\"30 g\"", "'''<i>30 g</i> & \"'co'''")
        .replace("\"Plateau garden\"", "'''<u>Plateau</u> & \"'co'''");
    garden.write("garden.toml", text);
    let site = Site::of(garden, &["--at", AFTERNOON]);
    site.ready();
    let sent = [
        ("kind", "loss"),
        ("bed", evil),
        ("percent", "10"),
        ("words", "<script>alert(1)</script>"),
    ];
    assert_eq!(site.post("/diary", &sent).status, 303);
    let sent = [("id", ""), ("bed", evil), ("sheet", "<i>30 g</i> & \"'co"), ("act", "covered")];
    assert_eq!(site.post("/cover", &sent).status, 303);
    let mut seen = 0;
    for path in PAGES.iter().chain(&["/print/cuts"]) {
        let body = site.get(path).body;
        for tag in ["<b>", "<i>", "<u>", "<script>"] {
            assert!(!body.contains(tag), "{path} has {tag}");
        }
        // Inside quoted values too.
        assert!(!body.contains("& \"'co"), "{path}");
        seen += body.matches("b&#62;salads").count() + body.matches("b&gt;salads").count();
    }
    assert!(seen > 10, "{seen}");
    assert!(site.get("/diary").body.contains("&#60;script&#62;alert(1)"));
}
