//! Clients that are slow, silent, many or rude.

use std::io::{Read as _, Write as _};
use std::time::{Duration, Instant};

use super::serve;

#[test]
fn half_a_head_and_silence_are_hung_up_on() {
    let site = serve();
    let begun = Instant::now();
    let open: Vec<_> = ["", "GET / HT", "GET / HTTP/1.1\r\nHost: localhost\r\n"]
        .iter()
        .map(|said| {
            let mut stream = site.connect();
            stream.write_all(said.as_bytes()).expect("sent");
            stream
        })
        .collect();
    for mut stream in open {
        let mut rest = Vec::new();
        // Hung up on, with or without a word.
        let _ = stream.read_to_end(&mut rest);
        assert!(begun.elapsed() < Duration::from_secs(20), "still held");
        assert!(!rest.starts_with(b"HTTP/1.1 200"));
    }
    assert!(begun.elapsed() > Duration::from_secs(5), "time for a slow line");
    assert_eq!(site.get("/standing").status, 200);
}

#[test]
fn a_body_that_never_comes_is_given_up() {
    let site = serve();
    let mut stream = site.connect();
    let head = "POST /diary HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/x-www-form-urlencoded\r\n\
                Content-Length: 100\r\n\r\nkind=";
    stream.write_all(head.as_bytes()).expect("sent");
    let begun = Instant::now();
    let mut rest = Vec::new();
    let _ = stream.read_to_end(&mut rest);
    assert!(begun.elapsed() < Duration::from_secs(40), "still held");
    assert!(rest.starts_with(b"HTTP/1.1 408"), "{}", String::from_utf8_lossy(&rest));
}

#[test]
fn many_idle_connections_keep_nobody_out_for_long() {
    let site = serve();
    // More than it answers at once.
    let idle: Vec<_> = (0..450).map(|_| site.connect()).collect();
    let begun = Instant::now();
    assert_eq!(site.get("/standing").status, 200);
    assert!(begun.elapsed() < Duration::from_secs(20), "{:?}", begun.elapsed());
    drop(idle);
    let begun = Instant::now();
    assert_eq!(site.get("/standing").status, 200);
    assert!(begun.elapsed() < Duration::from_secs(2), "{:?}", begun.elapsed());
}

#[test]
fn one_connection_serves_many_requests() {
    let site = serve();
    let mut stream = site.connect();
    for _ in 0..3 {
        stream.write_all(b"GET /standing HTTP/1.1\r\nHost: localhost\r\n\r\n").expect("sent");
        let mut answer = Vec::new();
        let mut some = [0; 512];
        while !answer.ends_with(b"working\n") && !answer.ends_with(b"ready\n") {
            let n = stream.read(&mut some).expect("an answer");
            assert!(n > 0, "hung up");
            answer.extend_from_slice(&some[..n]);
        }
        assert!(answer.starts_with(b"HTTP/1.1 200"));
    }
}

#[test]
fn what_is_no_request_is_refused() {
    let site = serve();
    let long = format!("GET /{} HTTP/1.1\r\nHost: localhost\r\n\r\n", "a".repeat(1 << 20));
    let headers = format!(
        "GET / HTTP/1.1\r\nHost: localhost\r\n{}\r\n",
        (0..5000).map(|n| format!("X-{n}: y\r\n")).collect::<String>()
    );
    let mixed = "POST /diary HTTP/1.1\r\nHost: localhost\r\nContent-Length: 5\r\nContent-Length: 6\r\n\r\nkind=x";
    for said in
        ["\0\0\0\0\r\n\r\n", "\x16\x03\x01\x02\x00\x01\x00\x01\r\n\r\n", &long, &headers, mixed]
    {
        let mut stream = site.connect();
        let _ = stream.write_all(said.as_bytes());
        let mut answer = Vec::new();
        let _ = stream.read_to_end(&mut answer);
        let told = String::from_utf8_lossy(&answer);
        let refused =
            ["400", "414", "431"].iter().any(|s| told.starts_with(&format!("HTTP/1.1 {s}")));
        assert!(answer.is_empty() || refused, "{told}");
    }
    assert_eq!(site.get("/standing").status, 200);
}

#[cfg(unix)]
#[test]
fn it_ends_when_it_is_told_to_though_somebody_holds_the_line() {
    let mut site = serve();
    let mut held = site.connect();
    held.write_all(b"GET / HT").expect("sent");
    std::thread::sleep(Duration::from_millis(200));
    let begun = Instant::now();
    let id = site.child.id().to_string();
    let done = std::process::Command::new("kill").args(["-TERM", &id]).status();
    assert!(done.is_ok_and(|s| s.success()));
    let status = site.child.wait().expect("it ends");
    assert_eq!(status.code(), Some(0));
    assert!(begun.elapsed() < Duration::from_secs(12), "{:?}", begun.elapsed());
}
