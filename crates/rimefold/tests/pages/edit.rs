//! Changing `garden.toml` by forms: only what was changed, only what is right, never over another's change.

use super::{AFTERNOON, Site, form, marked, serve};
use crate::diary::Garden;
use crate::harness::rimefold;

/// Lines that are not the same in both.
fn changed(before: &str, after: &str) -> Vec<(String, String)> {
    assert_eq!(before.lines().count(), after.lines().count(), "{after}");
    let pairs = before.lines().zip(after.lines()).filter(|(a, b)| a != b);
    pairs.map(|(a, b)| (a.to_owned(), b.to_owned())).collect()
}

fn pair(a: &str, b: &str) -> (String, String) {
    (a.to_owned(), b.to_owned())
}

/// The file must be whole for the command line too.
fn whole(site: &Site) {
    let run = rimefold(&["check", &site.garden.path.display().to_string()]);
    assert_eq!(run.code, 0, "{}", run.err);
}

#[test]
fn what_is_saved_untouched_changes_no_byte() {
    for demo in ["jura", "wisconsin"] {
        let site = Site::of(Garden::new(demo), &["--at", AFTERNOON]);
        site.ready();
        let before = site.file("garden.toml");
        let beds = before.matches("[[bed]]").count();
        let sheets = before.matches("[[stock.sheet]]").count();
        let beds = (1..=beds).map(|i| format!("/beds/{i}"));
        let sheets = (1..=sheets).map(|i| format!("/stock/{i}"));
        for path in beds.chain(sheets).chain(["/garden".into(), "/stock".into()]) {
            let answer = site.submit(&path, &[]);
            assert_eq!(answer.status, 303, "{path}: {:?}", marked(&answer.body));
            assert_eq!(site.file("garden.toml"), before, "{demo} {path}");
        }
    }
}

#[test]
fn one_value_changes_one_value() {
    let site = Site::of(Garden::new("wisconsin"), &["--at", AFTERNOON]);
    site.ready();
    let mut before = site.file("garden.toml");
    for (page, field, value, old, new) in [
        ("/beds/2", "bed.length", "42.5", "length_ft = 40", "length_ft = 42.5"),
        ("/beds/2", "bed.wetness", "dry", "wetness = \"damp\"", "wetness = \"dry\""),
        ("/beds/2", "planting.0.worth", "275", "worth = 260", "worth = 275"),
        ("/beds/1", "planting.0.hardened", "", "hardened = true", "hardened = false"),
        ("/stock", "stock.pins", "190", "pins = 220", "pins = 190"),
        ("/stock/1", "sheet.claim", "6,5", "claim_f = 7", "claim_f = 6.5"),
        ("/garden", "labour.people", "3", "people = 2", "people = 3"),
        (
            "/garden",
            "site.cold_spot_offset",
            "-2",
            "cold_spot_offset_f = -1",
            "cold_spot_offset_f = -2",
        ),
        (
            "/garden",
            "garden.name",
            "Upper \"ridge\"",
            "name = \"Ridge garden\"",
            "name = 'Upper \"ridge\"'",
        ),
    ] {
        let value = (field != "planting.0.hardened").then_some(value);
        let answer = site.submit(page, &[(field, value)]);
        assert_eq!(answer.status, 303, "{page} {field}: {:?}", marked(&answer.body));
        let after = site.file("garden.toml");
        assert_eq!(changed(&before, &after), [pair(old, new)], "{page} {field}");
        before = after;
    }
    // Inside a table written in one line.
    let answer = site.submit("/beds/2", &[("hoops.spacing", Some("36"))]);
    assert_eq!(answer.status, 303, "{:?}", marked(&answer.body));
    let after = site.file("garden.toml");
    let [(old, new)] = &changed(&before, &after)[..] else { panic!("{after}") };
    assert_eq!(old.replace("spacing_in = 48", "spacing_in = 36"), *new);
    whole(&site);
}

#[test]
fn comments_stay_where_they_are_and_odd_spacing_too() {
    let garden = Garden::new("jura");
    let text = std::fs::read_to_string(garden.path.join("garden.toml")).expect("there");
    let text = text
        .replace("pins = 60", "# counted in March\npins   =  60   # bent ones not counted")
        .replace("width_cm = 80\n", "width_cm=80# to the boards\n")
        .replace(
            "[[bed]]\nname = \"leeks\"",
            "# the last bed before the hedge\n[[bed]] # third\nname = \"leeks\"",
        )
        + "\n# the end\n";
    garden.write("garden.toml", &text);
    let site = Site::of(garden, &["--at", AFTERNOON]);
    site.ready();
    assert_eq!(site.submit("/stock", &[("stock.pins", Some("55"))]).status, 303);
    let expected = text.replace("pins   =  60   #", "pins   =  55   #");
    assert_eq!(site.file("garden.toml"), expected);
    assert_eq!(site.submit("/beds/3", &[("bed.width", Some("90"))]).status, 303);
    let at = expected.find("name = \"leeks\"").expect("the bed");
    let (head, tail) = expected.split_at(at);
    let expected = head.to_owned() + &tail.replacen("width_cm=80#", "width_cm=90#", 1);
    assert_eq!(site.file("garden.toml"), expected);
}

#[test]
fn a_file_that_changed_underneath_is_never_written_over() {
    let site = serve();
    site.ready();
    let shown = site.get("/beds/1").body;
    let mine = site.file("garden.toml").replace("worth = 70", "worth = 71");
    site.garden.write("garden.toml", &mine);
    let mut fields = form(&shown, "/beds/1");
    for f in &mut fields {
        if f.0 == "bed.length" {
            "7.25".clone_into(&mut f.1);
        }
    }
    let sent: Vec<(&str, &str)> = fields.iter().map(|f| (f.0.as_str(), f.1.as_str())).collect();
    let answer = site.post("/beds/1", &sent);
    assert_eq!(answer.status, 409);
    assert_eq!(site.file("garden.toml"), mine, "the other's change stands");
    let again = form(&answer.body, "/beds/1");
    assert!(again.contains(&("bed.length".into(), "7.25".into())), "what was typed is kept");
    // Saved once more, having been told, it goes in beside the other's change.
    let sent: Vec<(&str, &str)> = again.iter().map(|f| (f.0.as_str(), f.1.as_str())).collect();
    assert_eq!(site.post("/beds/1", &sent).status, 303);
    assert_eq!(site.file("garden.toml"), mine.replacen("length_m = 6", "length_m = 7.25", 1));
}

/// A bed is addressed by its place: when another takes that place, a form left open must not be written over it.
#[test]
fn a_form_left_open_never_lands_on_the_neighbour() {
    let site = serve();
    site.ready();
    for (page, list) in [("/beds/1", "[[bed]]"), ("/stock/1", "[[stock.sheet]]")] {
        let open = site.get(page).body;
        let fields = form(&open, page);
        let sent: Vec<(&str, &str)> = fields.iter().map(|f| (f.0.as_str(), f.1.as_str())).collect();
        let mut taken_out = sent.clone();
        taken_out.push(("remove", "yes"));
        let before = site.file("garden.toml");
        assert_eq!(site.post(page, &taken_out).status, 303, "{page}");
        let after = site.file("garden.toml");
        assert_eq!(after.matches(list).count() + 1, before.matches(list).count(), "{page}");
        // The digest of the file as it is now, as a second press of Save would send it.
        let now = form(&site.get(page).body, page);
        let digest = now.iter().find(|f| f.0 == "digest").expect("a digest").1.clone();
        let again: Vec<(&str, &str)> = sent
            .iter()
            .map(|(n, v)| if *n == "digest" { (*n, digest.as_str()) } else { (*n, *v) })
            .collect();
        let answer = site.post(page, &again);
        assert_eq!(answer.status, 409, "{page}");
        assert!(answer.body.contains("no longer where it was"), "{}", answer.body);
        assert_eq!(site.file("garden.toml"), after, "{page}");
    }
}

#[test]
fn of_two_windows_that_save_at_once_one_is_told() {
    let site = serve();
    site.ready();
    for round in 0..5 {
        let fields = form(&site.get("/stock").body, "/stock");
        let save = |pins: String| {
            let change = |f: &(String, String)| match f.0.as_str() {
                "stock.pins" => (f.0.clone(), pins.clone()),
                _ => f.clone(),
            };
            let fields: Vec<(String, String)> = fields.iter().map(change).collect();
            let sent: Vec<(&str, &str)> =
                fields.iter().map(|f| (f.0.as_str(), f.1.as_str())).collect();
            site.post("/stock", &sent).status
        };
        let mut both = std::thread::scope(|s| {
            let one = s.spawn(|| save(format!("{}", 100 + round)));
            let two = s.spawn(|| save(format!("{}", 200 + round)));
            [one.join().expect("one"), two.join().expect("two")]
        });
        both.sort_unstable();
        assert_eq!(both, [303, 409]);
    }
    whole(&site);
}

#[test]
fn each_fault_is_told_at_its_field_and_nothing_is_written() {
    let site = serve();
    site.ready();
    let before = site.file("garden.toml");
    for (page, field, value) in [
        ("/beds/1", "bed.length", "long"),
        ("/beds/1", "bed.length", ""),
        ("/beds/1", "bed.length", "-3"),
        ("/beds/1", "bed.length", "1e999"),
        ("/beds/1", "bed.length", "nan"),
        ("/beds/1", "bed.wetness", "soggy"),
        ("/beds/1", "bed.position", "3"),
        ("/beds/1", "bed.name", ""),
        ("/beds/1", "bed.name", "leeks"),
        ("/beds/1", "planting.0.crop", "moonwort"),
        ("/beds/1", "planting.0.worth", "much"),
        ("/beds/1", "hoops.material", "bone"),
        ("/beds/1", "hoops.spacing", "0"),
        ("/stock/1", "sheet.kind", "paper"),
        ("/stock/1", "sheet.count", "-1"),
        ("/stock/1", "sheet.count", "1.5"),
        ("/stock", "stock.pins", "many"),
        ("/stock", "stock.pins", "-1"),
        ("/garden", "place.latitude", "91"),
        ("/garden", "place.zone", "Mars/Olympus"),
        ("/garden", "site.soil", "cheese"),
        ("/garden", "labour.people", "0.5"),
    ] {
        let answer = site.submit(page, &[(field, Some(value))]);
        let told = marked(&answer.body);
        assert_eq!((answer.status, told), (422, vec![field.to_owned()]), "{page} {field} {value}");
        let kept = form(&answer.body, page);
        assert!(
            kept.contains(&(field.into(), value.into())),
            "{field} {value}: what was typed is kept"
        );
        assert_eq!(site.file("garden.toml"), before, "{page} {field} {value}");
    }
    let two = [("bed.length", Some("x")), ("planting.0.worth", Some("y"))];
    assert_eq!(marked(&site.submit("/beds/1", &two).body), ["bed.length", "planting.0.worth"]);
}

#[test]
fn what_belongs_to_no_field_is_told_in_words() {
    let site = serve();
    site.ready();
    let before = site.file("garden.toml");
    // A sheet that lies on a bed cannot leave the stock.
    let on = [("on.has", Some("true")), ("on.sheet", Some("17 g"))];
    assert_eq!(site.submit("/beds/3", &on).status, 303);
    let lying = site.file("garden.toml");
    assert_ne!(lying, before);
    let answer = site.submit("/stock/2", &[("remove", Some("yes"))]);
    assert_eq!(answer.status, 422);
    assert!(answer.body.contains("17 g") && answer.body.contains("Not saved"), "{}", answer.body);
    assert_eq!(site.file("garden.toml"), lying);
}

#[test]
fn beds_plantings_hoops_and_sheets_come_and_go() {
    let site = serve();
    site.ready();
    let before = site.file("garden.toml");
    let bed = [
        ("bed.name", Some("new beans")),
        ("bed.length", Some("4")),
        ("bed.width", Some("75")),
        ("bed.wetness", Some("damp")),
        ("planting.new.has", Some("true")),
        ("planting.new.crop", Some("bean")),
        ("planting.new.start", Some("direct-sown")),
        ("planting.new.stage", Some("seedling")),
        ("planting.new.worth", Some("30")),
    ];
    let answer = site.submit("/beds/new", &bed);
    assert_eq!(answer.status, 303, "{:?} {}", marked(&answer.body), answer.body);
    let with_bed = site.file("garden.toml");
    assert!(before.lines().all(|l| with_bed.contains(l)) && with_bed.contains("new beans"));
    whole(&site);
    // Where the fifth bed was said to be new, there is no sixth.
    assert_eq!(site.get("/beds/5").status, 200);
    assert_eq!(site.get("/beds/6").status, 404);

    let hoops = [
        ("hoops.has", Some("true")),
        ("hoops.material", Some("fibreglass")),
        ("hoops.diameter", Some("8")),
        ("hoops.length", Some("200")),
        ("hoops.bury", Some("15")),
        ("hoops.spacing", Some("120")),
        ("hoops.span", Some("90")),
        ("planting.new.has", Some("true")),
        ("planting.new.crop", Some("lettuce")),
        ("planting.new.start", Some("direct-sown")),
        ("planting.new.stage", Some("seedling")),
        ("planting.new.worth", Some("5")),
    ];
    let answer = site.submit("/beds/5", &hoops);
    assert_eq!(answer.status, 303, "{:?}", marked(&answer.body));
    whole(&site);
    assert_eq!(site.file("garden.toml").matches("[[bed.planting]]").count(), 6);
    // The first planting goes, the hoops go, the second planting stays.
    let out = [("planting.0.remove", Some("true")), ("hoops.has", None)];
    assert_eq!(site.submit("/beds/5", &out).status, 303);
    let text = site.file("garden.toml");
    assert!(!text.contains("crop = \"bean\"") && text.matches("crop = \"lettuce\"").count() == 2);
    assert_eq!(text.matches("hoops = ").count(), 1);

    let sheet = [
        ("sheet.name", Some("net")),
        ("sheet.kind", Some("insect net")),
        ("sheet.width", Some("210")),
        ("sheet.length", Some("10")),
        ("sheet.count", Some("2")),
        ("sheet.condition", Some("good")),
    ];
    let answer = site.submit("/stock/new", &sheet);
    assert_eq!(answer.status, 303, "{:?} {}", marked(&answer.body), answer.body);
    whole(&site);
    assert_eq!(site.submit("/stock/3", &[("remove", Some("yes"))]).status, 303);
    assert_eq!(site.submit("/beds/5", &[("remove", Some("yes"))]).status, 303);
    // All that came is gone again, and nothing else.
    assert_eq!(site.file("garden.toml").trim_end(), before.trim_end());
    let digest = form(&site.get("/beds/1").body, "/beds/1").remove(0).1;
    assert_eq!(site.post("/beds/9", &[("digest", &digest), ("remove", "yes")]).status, 404);
}

#[test]
fn a_garden_written_all_in_one_line_tables_can_be_edited() {
    let garden = Garden::new("jura");
    let text = "name = \"Tight\"\nunits = \"metric\"\n\
        place = { latitude = 46.75, longitude = 5.9, elevation_m = 520, zone = \"Europe/Paris\" } # here\n\
        site = { soil = \"loam\", exposure = \"open\" }\n\
        labour = { people = 1, minutes_each = 40, worth_of_hour = 12 }\n\
        bed = [\n  # the only one\n  { name = \"a\", length_m = 6, width_cm = 80, wetness = \"damp\", planting = [{ crop = \"leek\", start = \"direct-sown\", stage = \"seedling\", worth = 6 }] },\n]\n\
        stock = { pins = 60, clips = 10, sheet = [{ name = \"s\", kind = \"insect net\", width_cm = 210, length_m = 10, count = 3, condition = \"good\" }] }\n";
    garden.write("garden.toml", text);
    let site = Site::of(garden, &["--at", AFTERNOON]);
    site.ready();
    let mut expected = text.to_owned();
    for (page, field, value, old, new) in [
        ("/beds/1", "bed.length", "7", "length_m = 6,", "length_m = 7,"),
        ("/beds/1", "planting.0.worth", "9", "worth = 6 ", "worth = 9 "),
        ("/stock", "stock.pins", "61", "pins = 60", "pins = 61"),
        ("/stock/1", "sheet.count", "4", "count = 3", "count = 4"),
        ("/garden", "place.elevation", "530", "elevation_m = 520", "elevation_m = 530"),
    ] {
        let answer = site.submit(page, &[(field, Some(value))]);
        assert_eq!(answer.status, 303, "{page} {field}: {:?}", marked(&answer.body));
        expected = expected.replacen(old, new, 1);
        assert_eq!(site.file("garden.toml"), expected, "{page} {field}");
    }
    let bed = [
        ("bed.name", Some("b")),
        ("bed.length", Some("4")),
        ("bed.width", Some("75")),
        ("bed.wetness", Some("damp")),
        ("planting.new.has", None),
    ];
    let answer = site.submit("/beds/new", &bed);
    assert_eq!(answer.status, 303, "{:?} {}", marked(&answer.body), answer.body);
    whole(&site);
    assert_eq!(marked(&site.submit("/beds/2", &[("bed.length", Some("0"))]).body), ["bed.length"]);
    assert_eq!(site.submit("/beds/2", &[("remove", Some("yes"))]).status, 303);
    whole(&site);
    assert!(site.file("garden.toml").contains("# the only one"));
}

#[test]
fn a_first_garden_is_made_once_and_never_over_another() {
    let garden = Garden::new("jura");
    std::fs::remove_file(garden.path.join("garden.toml")).expect("removed");
    let site = Site::of(garden, &[]);
    site.until("/", |a| a.header("location") == Some("/begin"));
    let answers = [
        ("name", Some("First")),
        ("units", Some("metric")),
        ("latitude", Some("46,75")),
        ("longitude", Some("5.9")),
        ("elevation", Some("520")),
        ("zone", Some("Europe/Paris")),
        ("bed_length", Some("6")),
        ("bed_width", Some("75")),
    ];
    for (field, value) in [("latitude", "95"), ("zone", "Nowhere"), ("name", ""), ("beds", "0")] {
        let mut wrong = answers.to_vec();
        wrong.retain(|a| a.0 != field);
        wrong.push((field, Some(value)));
        let answer = site.submit("/begin", &wrong);
        assert_eq!((answer.status, marked(&answer.body)), (422, vec![field.to_owned()]), "{value}");
        assert!(!site.garden.path.join("garden.toml").exists());
    }
    let shown = form(&site.get("/begin").body, "/begin");
    assert_eq!(site.submit("/begin", &answers).status, 303);
    whole(&site);
    let made = site.file("garden.toml");
    // The same form from another window.
    let mut sent: Vec<(&str, &str)> = shown.iter().map(|f| (f.0.as_str(), f.1.as_str())).collect();
    for (name, value) in answers {
        sent.retain(|f| f.0 != name);
        sent.extend(value.map(|v| (name, v)));
    }
    assert_eq!(site.post("/begin", &sent).status, 422);
    assert_eq!(site.file("garden.toml"), made);
}

#[test]
fn the_same_note_sent_twice_is_kept_once() {
    let site = serve();
    site.ready();
    let mut sent: Vec<(String, String)> = form(&site.get("/diary").body, "/diary");
    for f in &mut sent {
        if f.0 == "degrees" {
            "-1,5".clone_into(&mut f.1);
        }
    }
    let note: Vec<(&str, &str)> = sent.iter().map(|f| (f.0.as_str(), f.1.as_str())).collect();
    let id = sent[0].1.as_str();
    for _ in 0..3 {
        assert_eq!(site.post("/diary", &note).status, 303);
    }
    assert_eq!(site.notes(), [id]);
    for _ in 0..3 {
        assert_eq!(
            site.post("/undo", &[("id", id), ("back", "/diary")]).status,
            303,
            "taken back once"
        );
    }
    assert_eq!(site.notes().len(), 2);
    assert!(!site.garden.stands(id));
    let cover = form(&site.get("/").body, "/cover");
    let cover: Vec<(&str, &str)> = cover.iter().map(|f| (f.0.as_str(), f.1.as_str())).collect();
    let both: Vec<u16> = std::thread::scope(|s| {
        let all: Vec<_> = (0..4).map(|_| s.spawn(|| site.post("/cover", &cover).status)).collect();
        all.into_iter().map(|t| t.join().expect("it answers")).collect()
    });
    assert_eq!(both, [303; 4]);
    assert_eq!(site.notes().len(), 3);
}

#[test]
fn notes_that_are_wrong_are_told_at_their_field_and_not_kept() {
    let site = serve();
    site.ready();
    for (kind, field, value) in [
        ("minimum", "degrees", "cold"),
        ("minimum", "degrees", "900"),
        ("minimum", "day", "2027-02-30"),
        ("minimum", "day", "2027-05-15"),
        ("minimum", "time", "26:00"),
        ("loss", "percent", "101"),
    ] {
        let group = if kind == "loss" { "seen" } else { "reading" };
        let mut sent = vec![("group", group), ("kind", kind), ("degrees", "1"), ("percent", "5")];
        sent.extend([("bed", "leeks"), ("day", "2027-05-14")]);
        sent.retain(|f| f.0 != field);
        sent.push((field, value));
        let answer = site.post("/diary", &sent);
        assert_eq!((answer.status, marked(&answer.body)), (422, vec![field.to_owned()]), "{value}");
    }
    let long = "x".repeat(201);
    for bed in ["", long.as_str()] {
        assert_eq!(
            site.post("/cover", &[("id", ""), ("bed", bed), ("act", "covered")]).status,
            422
        );
    }
    assert_eq!(site.post("/cover", &[("id", ""), ("bed", "leeks"), ("act", "eaten")]).status, 422);
    assert_eq!(site.post("/undo", &[("id", "ffffffff")]).status, 422);
    assert!(site.notes().is_empty());
}

/// What is ticked off is counted, and a cover that is not the planned one is named.
#[test]
fn what_is_covered_is_counted_and_named() {
    let site = serve();
    site.ready();
    let page = site.get("/").body;
    let all = page.matches("is covered\">Covered</button>").count();
    assert!(all >= 2, "{all} beds to cover");
    let fields = form(&page, "/cover");
    let mut sent: Vec<(&str, &str)> = fields.iter().map(|f| (f.0.as_str(), f.1.as_str())).collect();
    for f in &mut sent {
        if f.0 == "sheet" {
            f.1 = "another sheet";
        }
    }
    assert_eq!(site.post("/cover", &sent).status, 303);
    let left = format!("{} of {all} beds left to cover", all - 1);
    let page = site.until("/", |a| a.body.contains("not as planned")).body;
    assert!(page.contains(&left), "{page}");
    assert!(page.contains("covered with “another sheet”, not as planned"), "{page}");
}

/// Done in the terminal and covered on the page are one thing, in both directions.
#[test]
fn a_task_done_in_the_terminal_is_covered_on_the_page() {
    let site = serve();
    site.ready();
    let all = site.get("/").body.matches("is covered\">Covered</button>").count();
    assert!(all >= 2, "{all} beds to cover");
    let done = |task: &str| site.garden.note(&["done", task, "--at", super::AFTERNOON]);
    // The plan is kept a moment after it is shown.
    let kept = (0..200).any(|_| {
        std::thread::sleep(std::time::Duration::from_millis(50));
        done("1").code == 0
    });
    assert!(kept, "{}", done("1").err);
    let left = |n: usize| format!("{n} of {all} beds left to cover");
    let page = site.until("/", |a| a.body.contains(&left(all - 1))).body;
    assert!(page.contains("covered, 16:00"), "{page}");

    let fields = form(&page, "/cover");
    let sent: Vec<(&str, &str)> = fields.iter().map(|f| (f.0.as_str(), f.1.as_str())).collect();
    assert_eq!(site.post("/cover", &sent).status, 303);
    let tick = site.notes().pop().expect("a note");
    let run = done("2");
    assert!(run.code == 0 && run.out.contains(&tick[..8]), "{}{}", run.out, run.err);
    assert_eq!(site.notes().len(), 2, "task 2 is done already");

    let first = site.notes().remove(0);
    site.garden.noted(&["undo", &first]);
    site.until("/", |a| a.body.contains(&left(all - 1)));
}
