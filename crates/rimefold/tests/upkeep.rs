//! Upkeep through the real program with a frozen clock: what Stock shows, what a calendar gets, what a damaged sheet protects.

use icalendar::{Calendar, CalendarComponent, Component as _};

use crate::diary::Garden;
use crate::harness::rimefold;
use crate::pages::Site;

/// A winter's garden: kale covered three weeks ago and not looked at since.
fn winter() -> Garden {
    let garden = Garden::new("wisconsin");
    garden.noted(&["covered", "kale", "--with", "heavy 72", "--at", "2027-11-20T16:00"]);
    garden
}

#[test]
fn stock_tells_the_life_of_each_sheet_and_what_is_due() {
    let garden = winter();
    garden.noted(&["sheet", "wide 120", "--damaged", "--at", "2027-11-21T09:00"]);
    let site = Site::of(garden, &["--at", "2027-12-10T15:00"]);
    let page =
        site.until("/stock", |a| a.body.contains("Look for voles under the covers of kale")).body;
    assert!(
        page.contains(
            "about 100 % of its life left (99 to 100): out 4 days each since 20 Nov 2027"
        ),
        "{page}"
    );
    assert_eq!(page.matches("no day outside noted").count(), 4);
    assert!(!page.contains("mice"), "somebody was at the store three weeks ago");
    // The file calls it good.
    assert!(page.contains("data-word=\"Condition: \">worn<br><small>“wide 120” damaged"), "{page}");
}

/// A week from 10 December: voles then and a week later, the cloth a month after the cover came out of the store.
#[test]
fn upkeep_is_one_whole_day_a_day() {
    let site = Site::of(winter(), &["--at", "2027-12-11T15:00"]);
    site.until("/stock", |a| a.body.contains("Look for voles"));
    let text = site.get("/evening.ics").body;
    let calendar: Calendar = text.parse().expect("a calendar");
    let days: Vec<(String, String, bool)> = calendar
        .components
        .iter()
        .filter_map(|c| match c {
            CalendarComponent::Event(e) => Some(e),
            _ => None,
        })
        .filter(|e| e.property_value("DTSTART").is_some_and(|start| !start.contains('T')))
        .map(|e| {
            let rings = e.components().iter().any(|c| c.component_kind() == "VALARM");
            let start = e.property_value("DTSTART").unwrap_or_default().to_owned();
            (start, e.get_summary().unwrap_or_default().to_owned(), rings)
        })
        .collect();
    // Covered on 20 November: looked at from the 27th on, every week.
    let voles = "Look for voles under the covers of kale: runs, holes, gnawed roots.";
    assert_eq!(
        days,
        [
            ("20271211".to_owned(), voles.to_owned(), false),
            ("20271218".to_owned(), voles.to_owned(), false)
        ]
    );
    // A look noted today moves the next one on, and today's goes.
    site.garden.noted(&["voles", "kale", "--at", "2027-12-11T14:00"]);
    site.until("/stock", |a| !a.body.contains("Look for voles"));
    let text = site.get("/evening.ics").body.replace("\r\n ", "");
    assert!(
        !text.contains("VALUE=DATE:20271211") && text.contains("DTSTART;VALUE=DATE:20271218"),
        "{text}"
    );
}

/// Gusts of the demonstration's windy night: a danger of the day, besides the evening's own events.
#[test]
fn wind_that_threatens_covers_is_a_danger_of_the_day() {
    let garden = Garden::new("wisconsin");
    std::fs::copy(garden.path.join("forecast-windy.json"), garden.path.join("forecast.json"))
        .expect("copied");
    garden.noted(&["covered", "broccoli", "--with", "heavy 72", "--at", "2027-05-14T15:00"]);
    let site = Site::of(garden, &["--at", "2027-05-14T16:00"]);
    site.ready();
    let text = site.get("/evening.ics").body.replace("\r\n ", "");
    assert!(text.contains("DTSTART;VALUE=DATE:20270514"), "{text}");
    assert!(text.contains("SUMMARY:Gusts tonight may lift the covers of "), "{text}");
}

/// The gain of a sheet over a bed, K, as `tonight --json` tells it.
fn gain(garden: &Garden) -> f64 {
    let path = garden.path.display().to_string();
    let args = ["tonight", "--garden", &path, "--json", "--at", "2027-05-14T16:00"];
    let run = rimefold(&args).code(0);
    let value: serde_json::Value = serde_json::from_str(&run.out).expect("JSON");
    let bed = value["beds"].as_array().expect("beds").iter().find(|b| b["bed"] == "broccoli");
    let options = bed.expect("the bed")["options"].as_array().expect("options");
    let heavy =
        options.iter().find(|o| o["uses"].to_string().contains("heavy 72") && o["layers"] == 1);
    heavy.expect("one layer")["leaf_gain_k"]["p50"].as_f64().expect("a gain")
}

/// Noted as damaged it is taken as worn; the share that is open counts by the physics, the more the less is kept.
#[test]
fn a_sheet_noted_as_damaged_protects_less() {
    let with = |share: &str| {
        let garden = Garden::new("wisconsin");
        let text = std::fs::read_to_string(garden.path.join("garden.toml")).expect("text");
        let at = "name = \"heavy 72\"\n";
        assert!(text.contains(at));
        garden.write("garden.toml", text.replacen(at, &format!("{at}torn_share = {share}\n"), 1));
        gain(&garden)
    };
    let garden = Garden::new("wisconsin");
    let whole = gain(&garden);
    let id = garden.noted(&["sheet", "heavy 72", "--damaged", "--at", "2027-05-13T09:00"]);
    let damaged = gain(&garden);
    garden.note(&["undo", &id]).code(0);
    assert!((gain(&garden) - whole).abs() < 1e-12, "taken back");
    let gains = [with("0"), with("0.01"), with("0.05"), with("0.2")];
    assert!(
        (gains[0] - whole).abs() < 1e-12 && (gains[1] - damaged).abs() < 1e-12,
        "{gains:?} {damaged}"
    );
    assert!(gains.windows(2).all(|g| g[1] < g[0] - 0.01), "{gains:?}");
    assert!(gains[3] > 0.0, "{gains:?}");
}
