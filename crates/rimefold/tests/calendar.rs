//! The evening for a phone's calendar, read back by another reader (RFC 5545).

use icalendar::{Calendar, CalendarComponent, Component as _, Event};

use crate::diary::Garden;
use crate::pages::Site;
use crate::pages::door::{come_in, locked};

/// The events of a calendar as read back, by summary, start and alarms.
fn events(text: &str) -> Vec<(String, String, usize)> {
    let calendar: Calendar = text.parse().expect("a calendar");
    let of = |e: &Event| {
        let start = e.property_value("DTSTART").unwrap_or_default().to_owned();
        let alarms = e.components().iter().filter(|c| c.component_kind() == "VALARM").count();
        (e.get_summary().unwrap_or_default().to_owned(), start, alarms)
    };
    let each = calendar.components.iter().filter_map(|c| match c {
        CalendarComponent::Event(e) => Some(of(e)),
        _ => None,
    });
    each.collect()
}

/// The demonstration's frost: the work begins in the evening of 14 May (UTC − 5 h); six evenings more ring without a plan,
/// at 3 in the afternoon, 20:00 UTC.
#[test]
fn the_evening_rings_and_so_does_its_absence() {
    let site = Site::of(Garden::new("wisconsin"), &["--at", "2027-05-14T16:00"]);
    site.ready();
    let answer = site.get("/evening.ics");
    assert_eq!(answer.header("content-type"), Some("text/calendar; charset=utf-8"));
    // Whole days are upkeep: `upkeep` looks at those.
    let mut found = events(&answer.body);
    found.retain(|e| e.1.contains('T'));
    let [evening, morning, others @ ..] = found.as_slice() else { panic!("{found:?}") };
    assert!(evening.0.starts_with("Cover 8 beds. Two people") && evening.2 == 2, "{evening:?}");
    assert!(("20270514T210000Z".."20270515T013000Z").contains(&evening.1.as_str()), "{evening:?}");
    assert!(
        morning.0.starts_with("Open ") && morning.1.starts_with("20270515T1") && morning.2 == 1,
        "{morning:?}"
    );
    let days: Vec<&str> = others.iter().map(|o| o.1.as_str()).collect();
    let wanted: Vec<String> = (15..=20).map(|d| format!("202705{d}T200000Z")).collect();
    assert_eq!(days, wanted);
    assert!(others.iter().all(|o| o.0.starts_with("No plan for tonight has come") && o.2 == 1));
    // A phone cannot reach what serves this machine alone: the page says so.
    assert!(site.get("/calendar").body.contains("serve --lan"));
    // The same evening keeps its name from one look to the next.
    let uid = |text: &str| {
        text.lines().filter(|l| l.starts_with("UID:")).map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(uid(&answer.body), uid(&site.get("/evening.ics").body));
    // A mild night is told and does not ring.
    let mild = Garden::new("wisconsin");
    std::fs::copy(mild.path.join("forecast-mild.json"), mild.path.join("forecast.json"))
        .expect("copied");
    let site = Site::of(mild, &["--at", "2027-05-14T16:00"]);
    site.ready();
    let found = events(&site.get("/evening.ics").body);
    assert!(found[0].0.contains("nothing to cover") && found[0].2 == 0, "{found:?}");
}

#[test]
fn a_calendar_needs_no_password_and_a_token_of_its_own() {
    let site = locked();
    let cookie = come_in(&site);
    site.until_inside(&cookie);
    assert_eq!(site.get("/evening.ics").status, 403);
    assert_eq!(site.get("/evening.ics?token=guess").status, 403);
    assert_eq!(site.get("/calendar").status, 303, "the address is told to those who are in");
    let page = site.ask("GET", "/calendar", &[("Cookie", &cookie)], b"").body;
    assert!(!page.contains("serve --lan"), "{page}");
    let address =
        page.split("value=\"").nth(1).and_then(|v| v.split('"').next()).expect("an address");
    let path = &address[address.find("/evening.ics").expect("its path")..];
    let answer = site.get(path);
    assert!(answer.status == 200 && answer.body.starts_with("BEGIN:VCALENDAR"), "{}", answer.body);
    // It opens no other page, and stands in no export.
    let token = path.split("token=").nth(1).expect("a token");
    assert_eq!(site.get(&format!("/beds?token={token}")).status, 303);
    let json = site.ask("GET", "/diary.json", &[("Cookie", &cookie)], b"").body;
    assert!(!json.contains(token));
}
