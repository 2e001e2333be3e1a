//! What a phone sends late, and what it needs without a connection.

use super::{Site, serve};

const ID: &str = "0123456789abcdef0123456789abcdef";

/// When each note happened and was written, by SQLite itself.
fn moments(site: &Site) -> Vec<(i64, i64)> {
    let db = rusqlite::Connection::open(site.garden.database()).expect("it opens");
    let mut query = db.prepare("SELECT at, written FROM entry ORDER BY number").expect("a query");
    let rows = query.query_map([], |r| Ok((r.get(0)?, r.get(1)?))).expect("rows");
    rows.map(|r| r.expect("two moments")).collect()
}

#[test]
fn a_tick_sent_late_is_noted_as_done_when_it_was_done_and_once() {
    let site = serve();
    site.ready();
    let send = |id: &str, ago: &str| {
        let fields = [("id", id), ("bed", "leeks"), ("act", "covered"), ("ago", ago)];
        site.post("/cover", &fields)
    };
    for ago in ["12600", "12605", "20000"] {
        assert_eq!(send(ID, ago).status, 303, "{ago}");
    }
    for (n, ago) in ["", "0", "172800"].into_iter().enumerate() {
        assert_eq!(send(&format!("{n:032x}"), ago).status, 303, "{ago}");
    }
    let late: Vec<i64> = moments(&site).into_iter().map(|(at, written)| written - at).collect();
    assert_eq!(late, [12_600, 0, 0, 172_800], "the first stands, however often it is sent");
}

#[test]
fn a_tick_of_the_future_or_of_long_ago_is_refused_in_words_and_not_kept() {
    let site = serve();
    site.ready();
    for (ago, told) in [
        ("-1", "still to come"),
        ("172801", "more than two days ago"),
        ("9223372036854775807", "more than two days ago"),
        ("9223372036854775808", "not a number of seconds"),
        ("1.5", "not a number of seconds"),
        ("soon", "not a number of seconds"),
    ] {
        let fields = [("id", ID), ("bed", "leeks"), ("act", "covered"), ("ago", ago)];
        let answer = site.post("/cover", &fields);
        assert_eq!(answer.status, 422, "{ago}");
        // The phone shows what stands in the `pre`.
        let exact = answer.body.split("<pre>").nth(1).and_then(|l| l.split("</pre>").next());
        assert!(exact.is_some_and(|e| e.contains(told) && !e.contains('<')), "{ago}: {exact:?}");
    }
    assert_eq!(site.post("/undo", &[("id", ID)]).status, 422, "nothing to take back");
    assert!(site.notes().is_empty());
}

#[test]
fn pages_with_a_plan_say_how_old_it_is_and_others_do_not() {
    let site = serve();
    site.ready();
    for path in ["/", "/night/1", "/print/night"] {
        let page = site.get(path).body;
        let tail = page.split(" data-age=\"").nth(1).expect("its age");
        let age: i64 = tail.split('"').next().and_then(|a| a.parse().ok()).expect("seconds");
        assert!((0..120).contains(&age), "{path}: {age}");
        assert!(tail.contains("data-made=\"Friday 14 May, 16:00\""), "{path}");
    }
    for path in ["/nights", "/beds", "/diary", "/stock", "/nowhere"] {
        assert!(!site.get(path).body.contains("data-age"), "{path}");
    }
}

/// A new version is noticed: the script beside the pages is asked for anew and names what it needs by its content.
#[test]
fn the_script_beside_the_pages_is_fresh_and_names_files_that_are_there() {
    let site = super::door::locked();
    let beside = site.get("/offline.js");
    assert_eq!((beside.status, beside.header("cache-control")), (200, Some("no-cache")));
    assert_eq!(beside.header("content-type"), Some("text/javascript; charset=utf-8"));
    let policy = beside.header("content-security-policy").unwrap_or_default();
    assert!(policy.contains("worker-src 'self'"), "{policy}");
    let named: Vec<&str> =
        beside.body.split('\'').filter(|w| w.starts_with("/") && w.contains('.')).collect();
    assert!(named.len() >= 5, "{named:?}");
    for path in named {
        assert_eq!(site.get(path).status, 200, "{path}, before anybody has come in");
    }
    let page = site.get("/enter").body;
    for linked in ["/style.css?", "/comfort.js?", "/phone.js?"] {
        let address = page.split('"').find(|w| w.starts_with(linked)).expect("it is linked");
        assert!(beside.body.contains(&format!("'{address}'")), "{address}");
    }
}
