//! Whole answers of the main verbs, compared with the files in `tests/outputs`; RIMEFOLD_RENEW=1 writes those anew.

use crate::harness::{Ask, with_three_years};

const AFTERNOON: &str = "2027-05-14T16:00";

#[test]
fn demo() {
    Ask::new(&["demo"]).run().code(0).stderr("").stdout_kept("demo");
}

#[test]
fn tonight_in_both_gardens() {
    for garden in ["wisconsin", "jura"] {
        let folder = format!("demo/{garden}");
        let run = Ask::new(&["tonight", &folder]).clock(AFTERNOON).run();
        run.code(0).stdout_kept(&format!("tonight-{garden}"));
        let run = Ask::new(&["tonight", &folder, "--why"]).clock(AFTERNOON).run();
        run.code(0).stdout_kept(&format!("tonight-{garden}-why"));
    }
    let windy = ["tonight", "demo/wisconsin", "--forecast", "demo/wisconsin/forecast-windy.json"];
    Ask::new(&windy).clock(AFTERNOON).run().code(0).stdout_kept("tonight-windy");
    let run = Ask::new(&["tonight", "demo/wisconsin"]).clock(AFTERNOON).columns(40).run();
    run.code(0).stdout_kept("tonight-phone");
}

#[test]
fn the_nights_ahead() {
    let run = Ask::new(&["week", "demo/wisconsin"]).clock(AFTERNOON).run();
    let lines: Vec<&str> = run.out.lines().collect();
    assert!(lines.len() <= 32 && lines.iter().all(|l| l.chars().count() <= 80), "{}", run.out);
    run.code(0).stdout_kept("week-wisconsin");
}

#[test]
fn hoops_cuts_and_kit() {
    for garden in ["wisconsin", "jura"] {
        let run = Ask::new(&["hoops", &format!("demo/{garden}")]).run();
        run.code(0).stderr("").stdout_kept(&format!("hoops-{garden}"));
    }
    for verb in ["cut", "kit"] {
        let run = Ask::new(&[verb, "demo/wisconsin"]).run();
        run.code(0).stdout_kept(&format!("{verb}-wisconsin"));
        // The garden in Jura has nothing on offer.
        Ask::new(&[verb, "demo/jura"]).run().code(3).stdout("");
    }
}

#[test]
fn year_and_replay_on_an_invented_record() {
    let (_folder, path) = with_three_years("wisconsin");
    Ask::new(&["year", &path]).run().code(0).stderr("").stdout_kept("year");
    Ask::new(&["replay", &path]).run().code(0).stderr("").stdout_kept("replay");
}

/// A word of the command line that nothing is called: the whole complaint.
#[test]
fn a_bed_of_no_name_is_answered_with_the_names() {
    Ask::new(&["hoops", "demo/jura", "--bed", "nowhere"])
        .run()
        .code(2)
        .stdout("")
        .stderr("no bed is called `nowhere`; there are: salads, courgettes, leeks, strawberries\n");
}
