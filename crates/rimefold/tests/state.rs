//! The garden as it lies, by terminal, page and JSON: what was ticked off is known at any hour.

use crate::diary::Garden;
use crate::harness::Ask;
use crate::pages::Site;

/// The demonstration garden with its whole plan of 16:00 done at 20:00.
fn covered() -> Garden {
    let garden = Garden::new("wisconsin");
    garden.noted(&["--at", "2027-05-14T12:00", "reading", "--max", "60"]);
    let said = ask(&garden, "2027-05-14T16:00", true);
    let said: serde_json::Value = serde_json::from_str(&said).expect("JSON");
    for n in 1..=said["work"].as_array().expect("work").len() {
        garden.noted(&["--at", "2027-05-14T20:00", "done", &n.to_string()]);
    }
    garden
}

fn ask(garden: &Garden, at: &str, json: bool) -> String {
    let folder = garden.path.display().to_string();
    let mut args = vec!["tonight", &folder];
    args.push(if json { "--json" } else { "--why" });
    Ask::new(&args).clock(at).run().code(0).out
}

#[test]
fn what_lies_is_neither_left_open_nor_laid_again_and_film_in_the_sun_is_first() {
    let garden = covered();
    let night = ask(&garden, "2027-05-15T02:00", false);
    assert!(night.contains("Nothing to lay now"), "{night}");
    assert!(night.contains("Lies and stays"), "{night}");
    assert!(!night.contains("Leave open\n  young peach"), "{night}");
    let day = ask(&garden, "2027-05-15T09:30", false);
    assert!(day.starts_with("LATE"), "{day}");
    let first = day.split("in this order").nth(1).expect("a list");
    assert!(first.trim_start().starts_with("young peach: LATE: take it off now"), "{day}");
}

#[test]
fn terminal_page_and_json_say_the_same_of_what_lies() {
    let garden = covered();
    let at = "2027-05-15T09:30";
    let said: serde_json::Value = serde_json::from_str(&ask(&garden, at, true)).expect("JSON");
    let today = said["today"].as_array().expect("today").len();
    let text = ask(&garden, at, false);
    let lead = text.lines().next().expect("a line").to_owned();
    let site = Site::of(garden, &["--at", at]);
    site.ready();
    let page = site.get("/").body;
    assert!(today > 0 && lead.contains(&format!("{today} bed")), "{lead}");
    assert!(page.contains(&lead), "{lead}: {page}");
}

/// Cloth that lies on beds which stand the night is asked for where it saves more; those beds are not called at risk.
#[test]
fn cloth_is_taken_off_hardy_beds_for_others_by_terminal_and_page() {
    let garden = Garden::new("wisconsin");
    for bed in ["kale", "spinach"] {
        let cover = ["covered", bed, "--with", "heavy 72", "--layers", "2"];
        garden.noted(&[&["--at", "2027-05-14T13:00"][..], &cover[..]].concat());
    }
    let at = "2027-05-14T16:00";
    let said: serde_json::Value = serde_json::from_str(&ask(&garden, at, true)).expect("JSON");
    let off = |said: &serde_json::Value| -> Vec<String> {
        let work = said["work"].as_array().expect("work").iter();
        let off = work.filter(|t| t["action"] == "take_off");
        off.map(|t| t["bed"].as_str().expect("a bed").to_owned()).collect()
    };
    let beds = off(&said);
    assert!(!beds.is_empty(), "{said}");
    let folder = garden.path.display().to_string();
    let brief = Ask::new(&["tonight", &folder]).clock(at).run().code(0).out;
    assert!(brief.contains("take off what lies"), "{brief}");
    let risk = brief.split("AT RISK").nth(1).unwrap_or_default();
    for bed in &beds {
        assert!(!risk.split("\nTomorrow").next().unwrap_or_default().contains(bed), "{brief}");
    }
    let site = Site::of(garden, &["--at", at]);
    site.ready();
    let page = site.get("/").body;
    assert_eq!(page.matches(">Taken off</button>").count(), beds.len(), "{page}");
    let done = [("id", ""), ("bed", beds[0].as_str()), ("act", "opened"), ("placement", "")];
    assert_eq!(site.post("/cover", &done).status, 303);
    let left = beds.len() - 1;
    site.until("/", |a| a.body.matches(">Taken off</button>").count() == left);
}

#[test]
fn more_than_is_owned_is_told_with_the_newest_notes() {
    let garden = Garden::new("wisconsin");
    for (n, bed) in
        ["broccoli", "cabbage", "strawberries", "kale", "spinach", "peas"].iter().enumerate()
    {
        let at = format!("2027-05-14T1{n}:00");
        garden.noted(&["--at", &at, "covered", bed, "--with", "heavy 72", "--layers", "2"]);
    }
    let text = ask(&garden, "2027-05-14T16:00", false);
    assert!(text.contains("are noted on beds, you own"), "{text}");
    assert!(text.replace("\n    ", " ").contains("Newest notes: peas"), "{text}");
}
