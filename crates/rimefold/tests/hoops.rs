//! The verb `hoops`: text, drawing, JSON, and what is wrong.

use crate::harness::{answered, rimefold};

#[test]
fn the_tunnel_is_drawn_and_its_limits_told() {
    let run = rimefold(&["hoops", "demo/wisconsin"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let flat = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "broccoli, cabbage",
        "22 in",
        "34 in",
        "Hoops: 11 of 10-gauge soft wire, 76 in long, 48 in apart; 6 in in the ground at each end, 64 in above it.",
        "Sheet: 76 in by 43.7 ft gives skirts of 6 in",
        "11 pins a side",
        "“heavy 72”: doubled, skirt 4 in a side.",
        "as it is, 48 in",
        "24 in apart",
        "8-gauge wire",
        "purlin on posts",
        "To stand 4 in of fresh snow",
        "local codes and your own judgement decide",
        "Never shelter",
    ] {
        assert!(flat.contains(words), "{words}:\n{}", run.out);
    }
    for columns in ["80", "40"] {
        let width: usize = columns.parse().expect("a number");
        for line in answered(&["hoops", "demo/wisconsin"], "", columns).out.lines() {
            assert!(line.chars().count() <= width, "{columns}: {line}");
        }
    }
}

#[test]
fn a_metric_garden_has_metric_hoops() {
    let run = rimefold(&["hoops", "demo/jura", "--bed", "Salads"]);
    for words in ["90 cm", "8 mm fibreglass rod", "springs into its curve", "m/s"] {
        assert!(run.out.contains(words), "{words}:\n{}", run.out);
    }
}

#[test]
fn the_drawing_and_the_json_hold_the_measures() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("tunnel.svg");
    let path = file.display().to_string();
    let args = ["hoops", "demo/wisconsin", "--bed", "cabbage", "--json", "--svg", path.as_str()];
    let run = rimefold(&args);
    assert_eq!(run.code, 0, "{}", run.err);
    let told: serde_json::Value = serde_json::from_str(&run.out).expect("JSON");
    let tunnel = &told["tunnels"][0];
    assert_eq!(tunnel["hoops"], 11);
    assert!((tunnel["arch_m"].as_f64().expect("a number") - 64.0 * 0.0254).abs() < 1e-9);
    let low = tunnel["limits"]["snow_gives_way_m"]["wet"]["low"].as_f64().expect("a number");
    assert!(low > 0.0 && low < 0.1);
    let svg = std::fs::read_to_string(&file).expect("written");
    for words in [
        "<svg",
        "<title>",
        "22 in high",
        "34 in between the feet",
        "sheet 76 in by 43.7 ft",
        "</svg>",
    ] {
        assert!(svg.contains(words), "{words}");
    }
    let again = rimefold(&args);
    assert_eq!(again.code, 10, "an old drawing is left alone: {}", again.err);
}

#[test]
fn wrong_questions_get_one_clear_answer() {
    for (args, code, says) in [
        (vec!["--bed", "broc"], 2, "no bed is called `broc`; there are: strawberries, broccoli"),
        (vec!["--bed", "kale"], 3, "bed `kale` has no hoops"),
        (vec!["--snow", "0"], 2, "--snow: expected a number from 0.0 to 118 in"),
        (vec!["--gust=-3"], 2, "--gust: expected a number from 2.2 to 179 mph"),
        (vec!["--svg", "x.svg"], 2, "--bed"),
    ] {
        let run = rimefold(&[&["hoops", "demo/wisconsin"][..], &args].concat());
        assert_eq!(run.code, code, "{args:?}: {}", run.err);
        assert!(run.err.contains(says), "{args:?}: {}", run.err);
    }
}
