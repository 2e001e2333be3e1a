//! What past nights and this evening's readings do to the possible nights.

use evening::learned::{AirNow, Learned, clearness, day_number, prior};
use evening::lies::Lies;
use evening::report::Report;
use evening::week::{self, Question, simulate};
use evening::{Settings, tonight_knowing};
use garden::fit::Item;
use garden::lying::GardenState;
use garden::{Garden, file};
use learning::cover::{CoverLesson, CoverNight};
use learning::{Lessons, Night};
use quantities::Moment;
use weather::Forecast;

/// 14 May 2027, 16:00 in Chicago, and 22:00.
const ASKED: Moment = Moment(1_810_328_400);
const LATE: Moment = Moment(ASKED.0 + 6 * 3600);

fn garden() -> Garden {
    file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden.expect("reads")
}

fn report(at: Moment, learned: &Learned<'_>) -> Report {
    let garden = garden();
    let read = |bytes: &[u8]| -> Forecast { weather::read(bytes).expect("reads") };
    let forecast = read(include_bytes!("../../../demo/wisconsin/forecast.json"));
    let past = read(include_bytes!("../../../demo/wisconsin/past.csv"));
    let state = GardenState::of_file(&garden, at);
    let settings = Settings { nights: 800, seed: 1 };
    tonight_knowing(&garden, &state, &forecast, Some(&past), at, settings, learned)
        .expect("a report")
}

fn width(r: &Report) -> f64 {
    r.weather.garden_low_c.p90 - r.weather.garden_low_c.p10
}

/// Thirty clear calm nights 3 K warmer than said, give or take 0.5: the middle moves there, the spread narrows, and so do
/// the leaves' chances.
#[test]
fn lessons_move_and_narrow_the_night() {
    let before = report(ASKED, &Learned::default());
    let clear = clearness(Some(0.05), Some(1.0));
    let night = |k: i32| Night {
        day: day_number(ASKED) - 31.0 + f64::from(k),
        error_k: 3.0 + if k % 2 == 0 { 0.5 } else { -0.5 },
        clear,
        sigma_k: 1.75,
    };
    let nights: Vec<Night> = (0..30).map(night).collect();
    let lessons = Lessons::from_nights(&prior(&garden().site), &nights);
    let after = report(ASKED, &Learned { lessons: Some(&lessons), ..Learned::default() });
    let low = |r: &Report| r.weather.garden_low_c.p50 - r.weather.forecast_low_c;
    println!(
        "{:.2} and {:.2}, {:.2} and {:.2}",
        low(&before),
        low(&after),
        width(&before),
        width(&after)
    );
    // Shrunk towards how the garden lies.
    assert!((2.0..3.2).contains(&low(&after)), "{}", low(&after));
    assert!(width(&after) < 0.85 * width(&before), "{} {}", width(&after), width(&before));
    let harm = |r: &Report| r.beds.iter().map(|b| b.open.chance_of_harm).sum::<f64>();
    assert!(harm(&after) < harm(&before));
    // Four nights teach nothing: not one number moves.
    let few = Lessons::from_nights(&prior(&garden().site), &nights[..4]);
    let same = report(ASKED, &Learned { lessons: Some(&few), ..Learned::default() });
    assert_eq!(same.weather.garden_low_c, before.weather.garden_low_c);
}

/// At 22:00 with readings since sunset 2 K under the forecast: the rest of the night is colder than said and surer; with
/// readings as forecast it is surer.
#[test]
fn a_reading_after_dark_narrows_the_rest() {
    let unread = report(LATE, &Learned::default());
    let forecast: Forecast =
        weather::read(include_bytes!("../../../demo/wisconsin/forecast.json")).expect("reads");
    let said = |at: Moment| {
        let of = forecast.hours.iter().find(|h| h.interval.start == at).expect("the hour");
        of.air_temperature_c.expect("air").value
    };
    let read = |less: f64| -> Vec<AirNow> {
        let at = [LATE.plus_seconds(-3600), LATE];
        at.map(|at| AirNow { at, celsius: said(at) - less }).to_vec()
    };
    let (colder, same) = (read(2.0), read(0.0));
    let colder = report(LATE, &Learned { evening: &colder, ..Learned::default() });
    let same = report(LATE, &Learned { evening: &same, ..Learned::default() });
    let low = |r: &Report| r.weather.garden_low_c.p50;
    println!("unread {:?}", unread.weather.garden_low_c);
    println!("as said {:?}", same.weather.garden_low_c);
    println!("colder {:?}", colder.weather.garden_low_c);
    assert!(low(&colder) < low(&same) - 0.5, "{} {}", low(&colder), low(&same));
    assert!(width(&same) < 0.9 * width(&unread), "{} {}", width(&same), width(&unread));
    assert!(width(&colder) < 0.9 * width(&unread));
    // A reading from before sunset, in the sun, tells nothing.
    let noon = [AirNow { at: ASKED, celsius: 40.0 }];
    let noon = report(LATE, &Learned { evening: &noon, ..Learned::default() });
    assert_eq!(noon.weather.garden_low_c, unread.weather.garden_low_c);
}

/// Forecasts 2 K apart widen the night by about √(1 + 4/σ²).
#[test]
fn forecasts_that_disagree_widen_the_night() {
    let one = report(ASKED, &Learned::default());
    let two = report(ASKED, &Learned { disagreement_k: 2.0, ..Learned::default() });
    let expected = (1.0_f64 + 4.0 / 1.7_f64.powi(2)).sqrt();
    let ratio = width(&two) / width(&one);
    println!("{ratio:.2} of {expected:.2}");
    // The cold spot's own spread is not widened.
    assert!(ratio > 1.2 && ratio < 1.05 * expected, "{ratio} {expected}");
}

/// Ten nights on which a sheet gained 1.5 K more than said: its air comes out warmer by most of what the unknowns allow, its
/// spread no wider; the open bed stays, and so does every other sheet.
#[test]
fn readings_under_a_cover_teach_it() {
    let sheet = Item::Sheet(
        garden().stock.sheets.iter().position(|s| s.name == "heavy 72").expect("one of that name"),
    );
    let nights = [CoverNight { day: day_number(ASKED) - 3.0, off_k: 1.5 }; 10];
    let lesson = CoverLesson::from_nights(&nights, day_number(ASKED)).expect("ten nights");
    let covers = [(sheet, lesson)];
    let before = report(ASKED, &Learned::default());
    let after = report(ASKED, &Learned { covers: &covers, ..Learned::default() });
    let mut moved = 0;
    for (a, b) in before.beds.iter().zip(&after.beds) {
        assert_eq!(a.open, b.open, "{}", a.bed);
        for (x, y) in a.options.iter().zip(&b.options) {
            let (x_air, y_air) = (x.outcome.air_low_c, y.outcome.air_low_c);
            if y.cover.uses.iter().any(|u| u.0 == sheet) && y.cover.layers == 1 {
                println!("{}: {:.2} {x_air:?} {y_air:?}", a.bed, y.taught_k);
                assert!(y.taught_k > 0.1 && y.taught_k < 1.5, "{}", y.taught_k);
                assert!((y_air.p50 - x_air.p50 - y.taught_k).abs() < 0.25);
                assert!(y.outcome.leaf_low_c.p50 > x.outcome.leaf_low_c.p50);
                assert!(y_air.p90 - y_air.p10 < x_air.p90 - x_air.p10 + 0.1);
                moved += 1;
            } else {
                assert_eq!(x.outcome, y.outcome);
            }
        }
    }
    assert!(moved > 0);
}

/// One path with [`tonight_knowing`]: a garden that came out 3 K colder on thirty clear nights has colder nights ahead, every
/// one of them, by what `tonight` says; four nights teach nothing; a sheet taught warmer keeps more.
#[test]
fn the_nights_ahead_go_by_what_was_learned() {
    let clear = clearness(Some(0.05), Some(1.0));
    let night = |k: i32| Night {
        day: day_number(ASKED) - 31.0 + f64::from(k),
        error_k: -3.0 + if k % 2 == 0 { 0.5 } else { -0.5 },
        clear,
        sigma_k: 1.75,
    };
    let nights: Vec<Night> = (0..30).map(night).collect();
    let prior = prior(&garden().site);
    let (lessons, few) =
        (Lessons::from_nights(&prior, &nights), Lessons::from_nights(&prior, &nights[..4]));
    let garden = garden();
    let read = |bytes: &[u8]| -> Forecast { weather::read(bytes).expect("reads") };
    let forecast = read(include_bytes!("../../../demo/wisconsin/forecast.json"));
    let past = read(include_bytes!("../../../demo/wisconsin/past.csv"));
    let state = GardenState::of_file(&garden, ASKED);
    let ask = |learned: Learned<'_>| {
        let question = Question {
            garden: &garden,
            state: &state,
            forecast: &forecast,
            past: Some(&past),
            asked_at: ASKED,
            learned,
        };
        let settings = week::Settings { first_nights: 800, ..week::Settings::default() };
        simulate(&question, settings, &|_, _| ()).expect("simulated")
    };
    let knowing = |lessons| Learned { lessons: Some(lessons), ..Learned::default() };
    let (before, after, same) =
        (ask(Learned::default()), ask(knowing(&lessons)), ask(knowing(&few)));
    assert!(before.weather.nights.len() >= 2);
    for (a, b) in before.weather.nights.iter().zip(&after.weather.nights) {
        let (low, colder) = (a.ahead.garden_low_c, b.ahead.garden_low_c);
        println!("{low:?} {colder:?}");
        assert!(colder.p50 < low.p50 - 1.0, "{low:?} {colder:?}");
        assert!(colder.p90 - colder.p10 < low.p90 - low.p10);
        assert!(b.error.sigma_k < a.error.sigma_k, "and surer of its forecast");
    }
    for (a, b) in before.weather.nights.iter().zip(&same.weather.nights) {
        assert_eq!(a.ahead, b.ahead, "four nights teach nothing");
    }
    let tonight = report(ASKED, &knowing(&lessons));
    assert_eq!(after.weather.nights[0].ahead.garden_low_c, tonight.weather.garden_low_c);
    for (week, bed) in after.beds.iter().zip(&tonight.beds) {
        assert_eq!(week.laid[0][0], bed.open, "{}", bed.bed);
    }
    let sheet = garden.stock.sheets.iter().position(|s| s.name == "heavy 72").expect("there");
    let warm = [CoverNight { day: day_number(ASKED) - 3.0, off_k: 1.5 }; 10];
    let lesson = CoverLesson::from_nights(&warm, day_number(ASKED)).expect("ten nights");
    let covers = [(Item::Sheet(sheet), lesson)];
    let taught = ask(Learned { covers: &covers, ..Learned::default() });
    let by_tonight = report(ASKED, &Learned { covers: &covers, ..Learned::default() });
    let mut met = 0;
    for (week, bed) in taught.beds.iter().zip(&by_tonight.beds) {
        for (s, lies) in week.losses.lies.iter().enumerate() {
            let Lies::Shut(c) = lies else { continue };
            let cover = &week.losses.options[*c];
            let Some(option) = bed.options.iter().find(|o| o.cover == *cover) else { continue };
            assert_eq!(week.laid[0][s], option.outcome, "{}", bed.bed);
            met += usize::from(option.taught_k != 0.0);
        }
    }
    assert!(met > 0, "no taught sheet was tried");
}
