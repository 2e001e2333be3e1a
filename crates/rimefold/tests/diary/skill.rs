//! What was said against what was read, on nights made up so that every number can be worked by hand.

use super::Garden;

/// One night: date, said p10, p50, p90 in the open, read, forecast's low, clear and calm.
struct Night<'a>(&'a str, f64, f64, f64, f64, f64, bool);

/// Errors read − said: −1, +2, −1, 0, −2, +1. Read − forecast: −2, −1, −3, −2, −2, −2.
const NIGHTS: [Night<'static>; 6] = [
    Night("2027-04-01", -1.5, 0.0, 1.5, -1.0, 1.0, false),
    Night("2027-04-02", -3.5, -2.0, -0.5, 0.0, 1.0, true),
    Night("2027-04-03", -2.5, -1.0, 0.5, -2.0, 1.0, true),
    Night("2027-04-04", -1.5, 0.0, 1.5, 0.0, 2.0, true),
    Night("2027-04-05", -1.5, 0.0, 1.5, -2.0, 0.0, true),
    Night("2027-04-06", -1.5, 0.0, 1.5, 1.0, 3.0, true),
];

const NOTES: &str =
    "id,at,written,what,bed,where,sheet,temperature_c,share,plan,task,strikes,note\n";
const PLANS: &str = "id,asked_at,written,night,dark,sunrise,program,model,forecast,forecast_low_c,\
                     garden_low_p10_c,garden_low_p50_c,garden_low_p90_c,wind_m_s,cloud,clear_calm,\
                     tasks,report\n";
const SAID: &str = "plan,bed,way,cover,layers,pieces,chosen,limit_c,chance_of_harm,air_p10_c,air_p50_c,\
                    air_p90_c,leaf_p10_c,leaf_p50_c,leaf_p90_c\n";

pub fn next(night: &str) -> jiff::civil::Date {
    night.parse::<jiff::civil::Date>().expect("a date").tomorrow().expect("a day")
}

/// A plan of that night, dark at 19:30 UTC, whose forecast has that low; clear and calm.
pub fn plan_of(id: u32, night: &str, low: f64) -> String {
    plan(id, &Night(night, low - 1.5, low, low + 1.5, 0.0, low, true), "16:00")
}

/// A plan of that night, asked at 16:00 UTC, dark at 19:30 UTC.
fn plan(id: u32, n: &Night<'_>, asked: &str) -> String {
    let Night(night, p10, p50, p90, _, forecast, calm) = n;
    let sunrise = next(night);
    format!(
        "{id:032x},{night}T{asked}:00Z,{night}T{asked}:00Z,{night},{night}T19:30:00Z,{sunrise}T05:00:00Z,0.1.0,2,,\
         {forecast},{p10},{p50},{p90},1.0,0.1,{calm},2,{{}}\n"
    )
}

pub fn reading(at: &str, place: &str, celsius: f64) -> String {
    format!(",{at},,minimum,{place},{celsius},,,,,\n")
}

pub fn import(garden: &Garden, notes: &str, plans: &str, said: &str) {
    garden.write("in/notes.csv", format!("{NOTES}{notes}"));
    garden.write("in/plans.csv", format!("{PLANS}{plans}"));
    let file = garden.write("in/said.csv", format!("{SAID}{said}"));
    let folder = std::path::Path::new(&file).parent().expect("a folder").display().to_string();
    let run = garden.diary(&["import", "--csv", &folder]);
    assert_eq!(run.code, 0, "{}", run.err);
}

fn skill(garden: &Garden) -> serde_json::Value {
    crate::schema::valid("diary-skill", &garden.diary(&["skill", "--json"]))
}

fn text(garden: &Garden) -> String {
    let run = garden.diary(&["skill"]);
    assert_eq!(run.code, 0, "{}", run.err);
    run.out.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn near(value: &serde_json::Value, expected: f64) {
    let found = value.as_f64().unwrap_or(f64::NAN);
    assert!((found - expected).abs() < 1e-9, "{found} is not {expected}");
}

fn nights(some: &[Night<'_>]) -> (String, String) {
    let notes =
        some.iter().map(|n| reading(&format!("{}T05:00:00Z", next(n.0)), ",open,", n.4)).collect();
    let plans = (1..).zip(some).map(|(i, n)| plan(i, n, "16:00")).collect();
    (notes, plans)
}

/// Worked by hand. Bias: (−1 + 2 − 1 + 0 − 2 + 1)/6 = −1/6. Root mean square: √((1 + 4 + 1 + 0 + 4 + 1)/6) = √(11/6).
/// Within ±1.5: four of six. Read − forecast: mean −12/6 = −2, squares about it 0 + 1 + 1 + 0 + 0 + 0 = 2, so standard
/// error √(2/5/6) = √(1/15); on the five clear calm nights mean −10/5 = −2, squares 1 + 1 = 2, √(2/4/5) = √(1/10).
/// Bias and root mean square error as in the World Meteorological Organization's forecast verification (from memory).
#[test]
fn the_numbers_are_those_worked_by_hand() {
    let garden = Garden::new("jura");
    let (notes, plans) = nights(&NIGHTS);
    import(&garden, &notes, &plans, "");
    let skill = skill(&garden);
    let all = &skill["all"];
    assert_eq!((all["readings"].as_u64(), all["nights"].as_u64()), (Some(6), Some(6)));
    near(&all["bias_k"], -1.0 / 6.0);
    near(&all["rmse_k"], (11.0_f64 / 6.0).sqrt());
    near(&all["inside"], 4.0 / 6.0);
    near(&skill["against_forecast"]["mean_k"], -2.0);
    near(&skill["against_forecast"]["standard_error_k"], (1.0_f64 / 15.0).sqrt());
    let calm = &skill["against_forecast_clear_calm"];
    assert_eq!(calm["nights"], 5);
    near(&calm["mean_k"], -2.0);
    near(&calm["standard_error_k"], (1.0_f64 / 10.0).sqrt());
    near(&skill["suggested_cold_spot_offset_k"], -2.0);
    assert_eq!(skill["suggestion_rests_on_clear_calm_nights"], true);
    assert_eq!(skill["nights"][1]["error_k"].as_f64(), Some(2.0));
    assert_eq!(skill["nights"][1]["inside"], false);
    let words = text(&garden);
    for part in [
        "Fri 2 Apr 2027, in the open: said -2 (-3.5 to -0.5), read 0 °C: 2 warmer (outside what was said)",
        "6 readings over 6 nights: on average 0.2 °C colder than said, typically 1.4 °C off, 4 of 6 within",
        "ran 2 °C colder than the forecast's low, give or take 0.5, over 6 nights: that is more than chance",
        "give or take 0.6, over 5 nights",
        "cold_spot_offset_c = -2. It rests on the clear calm nights",
    ] {
        assert!(words.contains(part), "{part}:\n{words}");
    }
}

/// What is suggested is a value that the garden file takes, in the garden's own units: −2 K is −3.6, to a half −3.5 °F.
#[test]
fn the_suggestion_is_in_the_units_of_the_garden() {
    let garden = Garden::new("wisconsin");
    // 5:00 in Chicago is 10:00 UTC; the plans are asked in the morning of the same day there, before dark.
    let notes: String = NIGHTS
        .iter()
        .map(|n| reading(&format!("{}T10:00:00Z", next(n.0)), ",open,", n.4))
        .collect();
    let (_, plans) = nights(&NIGHTS);
    import(&garden, &notes, &plans, "");
    let words = text(&garden);
    assert!(words.contains("garden.toml: cold_spot_offset_f = -3.5."), "{words}");
    let file = std::fs::read_to_string(garden.file("garden.toml")).expect("there");
    garden
        .write("garden.toml", file.replace("cold_spot_offset_f = -1", "cold_spot_offset_f = -3.5"));
    let words = text(&garden);
    assert!(words.contains("The garden file says so already"), "{words}");
}

#[test]
fn few_nights_or_scattered_ones_conclude_nothing() {
    let garden = Garden::new("jura");
    let (notes, plans) = nights(&NIGHTS[..4]);
    import(&garden, &notes, &plans, "");
    let words = text(&garden);
    assert!(words.contains("4 readings over 4 nights: too few to say"), "{words}");
    assert!(words.contains("too few nights to conclude") && !words.contains("offset"), "{words}");
    assert_eq!(skill(&garden)["enough_nights"], false);

    // Read − forecast: +3, −4, +3, −4, +3: mean 0.2, far within its own doubt.
    let scattered: Vec<Night> = NIGHTS[..5]
        .iter()
        .zip([3.0, -4.0, 3.0, -4.0, 3.0])
        .map(|(n, k)| Night(n.0, n.1, n.2, n.3, n.5 + k, n.5, true))
        .collect();
    let garden = Garden::new("jura");
    let (notes, plans) = nights(&scattered);
    import(&garden, &notes, &plans, "");
    let words = text(&garden);
    assert!(words.contains("that may be chance") && !words.contains("offset"), "{words}");
    assert!(skill(&garden)["suggested_cold_spot_offset_k"].is_null());
}

/// Of several plans the last made before dark counts; one asked in the night, or after the reading, does not.
#[test]
fn the_last_plan_before_dark_is_the_one_that_was_said() {
    let garden = Garden::new("jura");
    let night = |p50: f64| Night("2027-04-01", p50 - 1.0, p50, p50 + 1.0, -1.0, 1.0, true);
    let plans = plan(1, &night(5.0), "08:00")
        + &plan(2, &night(-2.0), "19:00")
        + &plan(3, &night(-9.0), "22:00");
    import(&garden, &reading("2027-04-02T05:00:00Z", ",open,", -1.0), &plans, "");
    assert_eq!(skill(&garden)["nights"][0]["said_c"]["p50"].as_f64(), Some(-2.0));
    let late = Garden::new("jura");
    import(
        &late,
        &reading("2027-04-02T05:00:00Z", ",open,", -1.0),
        &plan(3, &night(-9.0), "22:00"),
        "",
    );
    assert_eq!(
        skill(&late)["nights"][0]["said_c"]["p50"].as_f64(),
        Some(-9.0),
        "none other was made"
    );
}

#[test]
fn a_reading_under_a_cover_is_held_against_that_cover() {
    let garden = Garden::new("jura");
    let plans = plan(1, &NIGHTS[0], "16:00");
    let said = |way: u32, cover: &str, chosen: bool, p50: f64| {
        let (p10, p90) = (p50 - 1.0, p50 + 1.0);
        format!("{:032x},leeks,{way},{cover},1,1,{chosen},-2,0.1,{p10},{p50},{p90},0,0,0\n", 1)
    };
    let rows = said(0, "", false, 0.5) + &said(1, "17 g", false, 1.0) + &said(2, "30 g", true, 2.0);
    let at = "2027-04-02T05:00:00Z";
    let notes = reading(at, "leeks,open,", 0.0)
        + &reading(at, "leeks,under,17 g", 1.5)
        + &reading(at, "leeks,under,", 3.0)
        + &reading(at, "leeks,under,a rug", 4.0)
        + &reading(at, "salads,open,", 0.0);
    import(&garden, &notes, &plans, &rows);
    let skill = skill(&garden);
    let errors: Vec<_> =
        skill["nights"].as_array().expect("nights").iter().map(|n| n["error_k"].as_f64()).collect();
    assert_eq!(errors, [Some(-0.5), Some(0.5), Some(1.0)], "open, the sheet named, the one chosen");
    let why: Vec<_> =
        skill["left_out"].as_array().expect("left out").iter().map(|l| &l["why"]).collect();
    assert_eq!(why, ["not said", "not said"]);
    near(&skill["under"]["bias_k"], 0.75);
    near(&skill["open"]["bias_k"], -0.5);
    // Covers say nothing about how cold the garden is against the forecast: −0.0 − 1.0 of the open one alone.
    near(&skill["against_forecast"]["mean_k"], -1.0);
    assert_eq!(skill["against_forecast"]["nights"], 1);
}

/// Two thermometers of one night are one night; the lower of two readings of one counts; what is taken back does not.
#[test]
fn a_night_counts_once_and_what_is_taken_back_not_at_all() {
    let garden = Garden::new("jura");
    let said = |bed: &str| format!("{:032x},{bed},0,,0,0,true,,0.1,-1,0,1,0,0,0\n", 1);
    let at = "2027-04-02T05:00:00Z";
    let notes = reading(at, "leeks,open,", -1.0)
        + &reading("2027-04-02T07:00:00Z", "leeks,open,", -2.0)
        + &reading(at, "salads,open,", 0.0)
        + "00000000000000000000000000000aaa,2027-04-02T06:00:00Z,,minimum,,open,,-30,,,,,\n"
        + ",2027-04-02T06:10:00Z,,undo,,,,,,,,00000000000000000000000000000aaa,\n";
    import(&garden, &notes, &plan(1, &NIGHTS[0], "16:00"), &(said("leeks") + &said("salads")));
    let skill = skill(&garden);
    assert_eq!(
        (skill["all"]["readings"].as_u64(), skill["all"]["nights"].as_u64()),
        (Some(2), Some(1))
    );
    // (−2 − 1 + 0 − 1)/2 = −2, one night, so no standard error.
    near(&skill["against_forecast"]["mean_k"], -2.0);
    assert!(skill["against_forecast"]["standard_error_k"].is_null());
    assert_eq!(skill["left_out"][0]["why"], "not the lowest");
}

/// Paris goes to summer time on 28 March 2027 at 01:00 UTC and back on 31 October 2027 at 01:00 UTC (Directive
/// 2000/84/EC: last Sundays, 01:00 Greenwich). A night is of the local date of its evening, and is over from 4 local.
#[test]
fn a_night_of_changing_clocks_is_of_its_evening() {
    for (at, night, over) in [
        ("2027-03-28T01:30:00Z", "2027-03-27", false), // 3:30 by the new time
        ("2027-03-28T02:00:00Z", "2027-03-27", true),  // 4:00; it would be 3:00 by the old
        ("2027-03-28T15:59:00Z", "2027-03-27", true),  // 17:59
        ("2027-03-28T16:00:00Z", "2027-03-28", false), // 18:00
        ("2027-10-31T02:30:00Z", "2027-10-30", false), // 3:30; it would be 4:30 by the old
        ("2027-10-31T03:00:00Z", "2027-10-30", true),  // 4:00
        ("2027-10-31T16:59:00Z", "2027-10-30", true),  // 17:59
        ("2027-10-31T17:00:00Z", "2027-10-31", false), // 18:00
    ] {
        let garden = Garden::new("jura");
        let plans: String = (1..)
            .zip(["2027-03-27", "2027-03-28", "2027-10-30", "2027-10-31"])
            .map(|(i, n)| plan(i, &Night(n, -1.0, 0.0, 1.0, 0.0, 0.0, true), "16:00"))
            .collect();
        import(&garden, &reading(at, ",open,", 0.5), &plans, "");
        let skill = skill(&garden);
        let list = if over { &skill["nights"] } else { &skill["left_out"] };
        assert_eq!(list[0]["night"], night, "{at}: {skill}");
        assert_eq!(list[0]["why"] == "night not over", !over, "{at}");
    }
}
