//! A first garden in two minutes: place by town, beds by likeness, crops by any of their names, keys without a minus.

use super::{Site, form, marked, serve};
use crate::diary::Garden;
use crate::harness::rimefold;

/// Atlas, from memory: Dunedin 45.9° S 170.5° E.
#[test]
fn a_town_fills_in_place_zone_and_units() {
    let garden = Garden::new("jura");
    std::fs::remove_file(garden.path.join("garden.toml")).expect("removed");
    let site = Site::of(garden, &[]);
    site.until("/", |a| a.header("location") == Some("/begin"));
    let several = site.submit("/begin", &[("town", Some("Dunedin")), ("find", Some("typed"))]);
    let meant = "Dunedin, New Zealand";
    assert!(several.body.contains(meant), "{}", several.body);
    let page = site.submit("/begin", &[("town", Some("Dunedin")), ("find", Some(meant))]).body;
    let filled = form(&page, "/begin");
    let value = |name: &str| filled.iter().find(|f| f.0 == name).expect("a field").1.clone();
    let place = [value("latitude"), value("longitude"), value("zone"), value("units")];
    assert_eq!(place, ["-45.87", "170.5", "Pacific/Auckland", "metric"]);
    // What the list does not know is not made up.
    assert_eq!(value("elevation"), "");
    let none = site.submit("/begin", &[("town", Some("Xyzzyx")), ("find", Some("typed"))]);
    assert_eq!(marked(&none.body), ["town"]);
}

#[test]
fn beds_like_one_are_named_on_and_carry_the_same() {
    let site = serve();
    site.ready();
    let more = |copies: &str| site.submit("/beds/1", &[("like", Some(copies))]);
    let before = site.file("garden.toml");
    for wrong in ["", "0", "101", "two"] {
        let answer = more(wrong);
        assert!(answer.status == 422 && answer.body.contains("A whole number, from 1 to 100."));
        assert_eq!(site.file("garden.toml"), before);
    }
    assert_eq!(more("9").status, 303);
    let run = rimefold(&["check", &site.garden.path.display().to_string()]);
    assert_eq!(run.code, 0, "{}", run.err);
    let text = site.file("garden.toml");
    let garden: toml::Table = text.parse().expect("TOML");
    let beds = garden["bed"].as_array().expect("beds");
    assert_eq!(beds.len(), before.matches("[[bed]]").count() + 9);
    let (first, last) = (&beds[0], &beds[beds.len() - 1]);
    assert_eq!(last["name"].as_str(), Some("salads 10"));
    for same in ["length_m", "width_cm", "hoops", "planting"] {
        assert_eq!(first.get(same), last.get(same), "{same}");
    }
    assert!(first.get("position_m").is_some() && last.get("position_m").is_none());
    // Once more: it goes on counting.
    assert_eq!(more("1").status, 303);
    assert!(site.file("garden.toml").contains("\"salads 11\""));
}

/// Stages are those of the crop, by the table of crops; where the crop changes, those of the new one are offered.
#[test]
fn stages_are_those_of_the_crop() {
    let site = serve();
    site.ready();
    let offered = |page: &str| -> Vec<String> {
        let list = page.split("<select id=\"planting.0.stage\"").nth(1).expect("a list");
        let list = list.split("</select>").next().expect("its end");
        let words = list.split("<option").skip(1).filter_map(|o| o.split('>').nth(1));
        words.map(|o| o.split('<').next().unwrap_or_default().to_owned()).collect()
    };
    let lettuce = offered(&site.get("/beds/1").body);
    assert!(lettuce.contains(&"seedling".to_owned()), "{lettuce:?}");
    assert!(!lettuce.iter().any(|s| s.contains("bloom")), "{lettuce:?}");
    let other = [("planting.0.crop", Some("apple")), ("planting.0.stage", Some(""))];
    let answer = site.submit("/beds/1", &other);
    assert_eq!((answer.status, marked(&answer.body)), (422, vec!["planting.0.stage".to_owned()]));
    let apple = offered(&answer.body);
    assert!(apple.iter().any(|s| s.contains("bloom")), "{apple:?}");
    // Another word for a crop finds it.
    assert!(site.get("/beds/1").body.contains("zucchini, courgette"), "synonyms");
}

/// The keys of a phone may have no minus.
#[test]
fn a_reading_below_zero_is_written_without_a_minus() {
    let site = serve();
    site.ready();
    for (n, degrees) in ["3.5", "-3.5"].into_iter().enumerate() {
        let id = format!("{n:032x}");
        let sent = [("id", id.as_str()), ("group", "reading"), ("kind", "minimum"), ("below", "1")];
        let rest = [("degrees", degrees), ("place", "open"), ("day", "2027-05-14")];
        assert_eq!(site.post("/diary", &[&sent[..], &rest[..]].concat()).status, 303);
    }
    let page = site.get("/diary").body;
    assert_eq!(page.matches("-3.5").count().max(page.matches("−3.5").count()) / 2, 2, "{page}");
}
