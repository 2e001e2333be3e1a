//! A page that comes while its work is done, without script.

use std::io::{Read as _, Write as _};
use std::process::Command;
use std::time::{Duration, Instant};

use super::{AFTERNOON, Site};
use crate::diary::Garden;
use crate::harness::invented_years;

/// A garden with a record of so many years.
fn site(years: i16) -> Site {
    let garden = Garden::new("jura");
    garden.write("station.csv", invented_years(years));
    Site::of(garden, &["--at", AFTERNOON])
}

/// Asks for the year, and reads until `enough` of it has come, or all.
fn read(site: &Site, enough: impl Fn(&str) -> bool) -> (std::net::TcpStream, String) {
    let mut stream = site.connect();
    let head = "GET /year HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n";
    stream.write_all(head.as_bytes()).expect("sent");
    let (mut text, mut some) = (String::new(), [0; 4096]);
    while !enough(&text) {
        let n = stream.read(&mut some).expect("more of it");
        if n == 0 {
            break;
        }
        text += &String::from_utf8_lossy(&some[..n]);
    }
    (stream, text)
}

#[test]
fn a_year_comes_in_one_page_with_bars_before_it_and_then_at_once() {
    let site = site(5);
    site.ready();
    let (stream, first) = read(&site, |t| t.contains("<progress"));
    assert!(first.starts_with("HTTP/1.1 200") && first.contains("<h1>Year</h1>"), "{first}");
    assert!(!first.contains("</html>"), "the rest is still to come");
    // Somebody who does not wait stops nothing.
    drop(stream);
    let (_, all) = read(&site, |_| false);
    let at = |words: &str| all.find(words).unwrap_or_else(|| panic!("no {words}: {all}"));
    assert!(at("<div class=\"meanwhile\">") < at("From 5 years") && all.contains("</html>"));
    let bars: Vec<u32> = all
        .split("<progress max=\"100\" value=\"")
        .skip(1)
        .filter_map(|bar| bar.split('"').next()?.parse().ok())
        .collect();
    assert!(!bars.is_empty() && bars.is_sorted(), "{bars:?}");
    let again = site.get("/year").body;
    assert!(again.contains("From 5 years") && !again.contains("meanwhile"), "{again}");
    // What is changed is worked out before the page ends, however soon it is asked for.
    site.garden.write("station.csv", invented_years(4));
    assert!(read(&site, |_| false).1.contains("From 4 years"));
    let garden = site.file("garden.toml");
    site.garden.write("garden.toml", garden.replace("name = \"leeks\"", "name = \"late leeks\""));
    site.until("/year", |a| a.body.contains("late leeks"));
}

#[test]
fn a_record_that_does_not_serve_is_told_at_the_end_of_the_page() {
    let site = site(5);
    site.garden.write("station.csv", "date,tmin_c,tmax_c\n2001-01-01,warm,5\n");
    site.ready();
    let (_, all) = read(&site, |_| false);
    assert!(all.contains("The year cannot be worked out.") && all.contains("line 2"), "{all}");
    assert!(all.contains("</html>") && site.get("/year").body.contains("line 2"));
}

#[cfg(unix)]
#[test]
fn it_ends_when_it_is_told_to_while_a_year_is_waited_for() {
    let mut site = site(40);
    site.ready();
    let (_stream, first) = read(&site, |t| t.contains("<progress"));
    assert!(!first.contains("</html>"));
    let begun = Instant::now();
    let id = site.child.id().to_string();
    assert!(Command::new("kill").args(["-TERM", &id]).status().is_ok_and(|s| s.success()));
    assert_eq!(site.child.wait().expect("it ends").code(), Some(0));
    assert!(begun.elapsed() < Duration::from_secs(12), "{:?}", begun.elapsed());
}
