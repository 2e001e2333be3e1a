//! In the morning terminal and page say the same of what to open, from the plan that the diary has.

use crate::diary::Garden;
use crate::harness::Ask;
use crate::pages::{Site, plain};

const EVENING: &str = "2027-05-14T20:00";
const MORNING: &str = "2027-05-15T07:00";

/// `bed: what to do` of the page's rows under *This morning*, and what may stay.
fn page_lines(html: &str) -> Vec<String> {
    let section = html.split("<h2>This morning</h2>").nth(1).expect("the morning");
    let (list, after) = section.split_once("</ul>").expect("its end");
    let row = |c: &str| {
        let bed = c.split("<h3>").nth(1)?.split("</h3>").next()?;
        let text = c.split("class=\"how\">").nth(1)?.split("</span>").next()?;
        Some(plain(&format!("{bed}: {text}")).to_lowercase())
    };
    let stay = after.split("<summary>").nth(1).and_then(|s| s.split("</summary>").next());
    let stay = stay.filter(|s| s.starts_with("May stay")).map(|s| plain(s).to_lowercase());
    list.split("<li").filter_map(row).chain(stay).collect()
}

/// The same of the terminal: lines under the head, each continued by four spaces.
fn terminal_lines(text: &str) -> Vec<String> {
    let section = text.split("\nThis morning\n").nth(1).expect("the morning");
    let section = section.split("\n\n").next().expect("its end");
    let joined = section.replace("\n    ", " ");
    joined.lines().map(|l| l.trim().to_lowercase()).filter(|l| !l.is_empty()).collect()
}

#[test]
fn terminal_and_page_open_the_same_beds_in_the_morning() {
    let garden = Garden::new("wisconsin");
    let folder = garden.path.display().to_string();
    let ask = || Ask::new(&["tonight", "--garden", &folder]).clock(MORNING).run().code(0);
    // Nobody planned the evening before.
    let unplanned = terminal_lines(&ask().out);
    assert!(!unplanned.is_empty());
    // A diary with a plan of that evening, and a forecast that came after it.
    garden.noted(&["--at", "2027-05-14T12:00", "reading", "--max", "60"]);
    Ask::new(&["tonight", &folder]).clock(EVENING).run().code(0);
    std::fs::copy(garden.path.join("forecast-mild.json"), garden.path.join("forecast.json"))
        .expect("copied");
    let first = ask();
    let planned = terminal_lines(&first.out);
    assert!(!planned.is_empty(), "{}", first.out);
    assert_eq!(terminal_lines(&ask().out), planned, "asked again it says the same");
    let site = Site::of(garden, &["--at", MORNING]);
    site.ready();
    let page = site.get("/").body;
    assert_eq!(page_lines(&page), planned);
    // The first lines are the same too.
    let lead = page.split("class=\"go\">").nth(1).and_then(|l| l.split('<').next());
    let said = first.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains(lead.expect("a lead")), "{lead:?}: {said}");
}

/// Where no diary says what lies, film whose time to be opened is past is told first.
#[test]
fn film_past_its_time_is_told_though_nothing_is_noted() {
    let ask = |at: &str| Ask::new(&["tonight", "demo/wisconsin"]).clock(at).run().code(0).out;
    assert!(!ask("2027-05-15T06:30").contains("LATE"));
    let nine = ask("2027-05-15T09:00");
    let second = nine.lines().nth(2).expect("a line");
    assert_eq!(second, "LATE, if still shut: open young peach now.", "{nine}");
}

#[test]
fn after_the_morning_and_before_it_only_the_coming_night_is_planned() {
    for at in ["2027-05-14T16:00", "2027-05-15T02:00", "2027-05-15T11:30"] {
        let run = Ask::new(&["tonight", "demo/wisconsin"]).clock(at).run();
        assert!(!run.out.contains("This morning"), "{at}: {}", run.out);
    }
}
