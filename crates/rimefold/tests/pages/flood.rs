//! What strangers can take before they have shown the password: memory, places, time.

use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::time::{Duration, Instant};

use super::door::{come_in, locked};

/// Most memory the program has held so far, MB. Source: proc(5), `VmHWM`; Linux alone.
fn most_memory(pid: u32) -> Option<f64> {
    let status = std::fs::read_to_string(format!("/proc/{pid}/status")).ok()?;
    let line = status.lines().find_map(|l| l.strip_prefix("VmHWM:"))?;
    Some(line.trim().trim_end_matches(" kB").parse::<f64>().ok()? / 1024.0)
}

/// A connection from another address of this machine, as from another machine.
fn from(address: &str, port: u16) -> Option<TcpStream> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_io().build().ok()?;
    let stream = runtime.block_on(async {
        let socket = tokio::net::TcpSocket::new_v4().ok()?;
        socket.bind(format!("{address}:0").parse().ok()?).ok()?;
        socket.connect(format!("127.0.0.1:{port}").parse().ok()?).await.ok()
    })?;
    let stream = stream.into_std().ok()?;
    stream.set_nonblocking(false).ok()?;
    stream.set_read_timeout(Some(Duration::from_secs(20))).ok()?;
    Some(stream)
}

/// What four hundred strangers send: a head that goes on, or a password of 30 MB.
#[test]
fn four_hundred_strangers_cannot_fill_the_memory() {
    let site = locked();
    let cookie = come_in(&site);
    site.until_inside(&cookie);
    site.until("/enter", |a| a.status == 200);
    let ready = |c: &str| site.ask("GET", "/standing", &[("Cookie", c)], b"").body == "ready\n";
    while !ready(&cookie) {
        std::thread::sleep(Duration::from_millis(50));
    }
    let Some(before) = most_memory(site.child.id()) else { return };
    let heads = [
        format!("POST /enter HTTP/1.1\r\nHost: localhost\r\nContent-Type: {}\r\nContent-Length: 31000000\r\n\r\npassword=", super::FORM.1),
        format!("POST /enter HTTP/1.1\r\nHost: localhost\r\nContent-Type: {}\r\nTransfer-Encoding: chunked\r\n\r\nfff0000\r\npassword=", super::FORM.1),
        "POST /forecast HTTP/1.1\r\nHost: localhost\r\nContent-Type: multipart/form-data; boundary=edge\r\nContent-Length: 31000000\r\n\r\n--edge\r\n".to_owned(),
        "GET / HTTP/1.1\r\nHost: localhost\r\nX-Long: ".to_owned(),
    ];
    std::thread::scope(|s| {
        for thread in 0..20_usize {
            let heads = &heads;
            let port = site.port;
            s.spawn(move || {
                // Twenty machines of twenty connections each.
                let address = format!("127.0.1.{}", thread + 1);
                let mut open: Vec<TcpStream> =
                    (0..20).filter_map(|_| from(&address, port)).collect();
                for (n, stream) in open.iter_mut().enumerate() {
                    let _ = stream.set_write_timeout(Some(Duration::from_millis(500)));
                    let _ = stream.write_all(heads[n % heads.len()].as_bytes());
                }
                let some = vec![b'a'; 64 * 1024];
                for _ in 0..100 {
                    for stream in &mut open {
                        let _ = stream.write(&some);
                    }
                }
                std::thread::sleep(Duration::from_secs(1));
            });
        }
    });
    let after = most_memory(site.child.id()).expect("told before");
    println!("most memory before {before:.0} MB, after {after:.0} MB");
    assert!(after < 150.0, "before {before:.0} MB, after {after:.0} MB");
}

#[test]
fn a_flood_of_strangers_does_not_keep_the_household_out() {
    let site = locked();
    let cookie = come_in(&site);
    site.until_inside(&cookie);
    let Some(first) = from("127.0.1.1", site.port) else { return };
    let mut flood = vec![first];
    for n in 0..450 {
        flood.extend(from(&format!("127.0.1.{}", n % 200 + 1), site.port));
    }
    for stream in &mut flood {
        let _ = stream.write_all(b"GET / HT");
    }
    for _ in 0..20 {
        let begun = Instant::now();
        let answer = site.try_ask("GET", "/beds", &[("Cookie", &cookie)], b"");
        assert_eq!(answer.map(|a| a.status), Some(200));
        assert!(begun.elapsed() < Duration::from_secs(1), "{:?}", begun.elapsed());
    }
    drop(flood);
    // The program learns of each closed connection in its own time; a guest who is turned away tries again.
    let begun = Instant::now();
    let mut answer = guest(site.port);
    while !answer.starts_with("HTTP/1.1 200") && begun.elapsed() < Duration::from_secs(5) {
        std::thread::sleep(Duration::from_millis(100));
        answer = guest(site.port);
    }
    assert!(answer.starts_with("HTTP/1.1 200"), "a guest gets in afterwards: {answer}");
}

/// What a machine that is not of the household gets for the password page; empty where it is turned away.
fn guest(port: u16) -> String {
    let mut answer = String::new();
    if let Some(mut stream) = from("127.0.1.9", port) {
        let _ = stream
            .write_all(b"GET /enter HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
        let _ = stream.read_to_string(&mut answer);
    }
    answer
}
