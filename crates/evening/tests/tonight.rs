//! The pipeline: garden and weather in, report out.

use evening::report::{BedReport, Driver, MorningAction, OptionReport, Reason, Report};
use evening::{Error, Settings, tonight};
use garden::fit::{Item, Placement};
use garden::lying::GardenState;
use garden::stock::SheetKind;
use garden::{Garden, file};
use quantities::{Fault, Moment};
use weather::Forecast;

/// 14 May 2027, 16:00 in Chicago.
const ASKED: Moment = Moment(1_810_328_400);

fn garden() -> Garden {
    file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden.expect("reads")
}

fn open(at: Moment) -> GardenState {
    GardenState::of_file(&garden(), at)
}

fn past() -> Forecast {
    weather::read(include_bytes!("../../../demo/wisconsin/past.csv")).expect("reads")
}

fn calm() -> Forecast {
    weather::read(include_bytes!("../../../demo/wisconsin/forecast.json")).expect("reads")
}

fn windy() -> Forecast {
    weather::read(include_bytes!("../../../demo/wisconsin/forecast-windy.json")).expect("reads")
}

fn mild() -> Forecast {
    weather::read(include_bytes!("../../../demo/wisconsin/forecast-mild.json")).expect("reads")
}

fn report(forecast: &Forecast) -> Report {
    tonight(&garden(), &open(ASKED), forecast, Some(&past()), ASKED, Settings::default())
        .expect("a report")
}

fn bed<'a>(r: &'a Report, name: &str) -> &'a BedReport {
    r.beds.iter().find(|b| b.bed == name).expect("the bed")
}

fn single_50_grams<'a>(r: &'a Report, name: &str) -> &'a OptionReport {
    bed(r, name)
        .options
        .iter()
        .find(|o| {
            o.cover.layers == 1
                && matches!(o.cover.cloth.map(|c| c.kind), Some(SheetKind::RowCover { weight_g_m2 }) if weight_g_m2 > 45.0)
        })
        .expect("an option")
}

/// The spread of forecast errors is that of nightly minima, so the least air of the drawn nights has the forecast minimum as
/// its mean. No cold spot, and a hundred times as many nights as an evening takes.
#[test]
fn the_drawn_nights_are_no_colder_than_the_forecast() {
    use evening::ensemble::{Ensemble, ForecastSeries};
    use evening::steps::at_step;
    use microclimate::lanes::WIDTH;
    use microclimate::real::Real;
    let (forecast, mut garden) = (windy(), garden());
    garden.site.cold_spot_offset_k = Some(0.0);
    let (steps, nights) = (6 * 16, 20_000);
    let sky =
        ForecastSeries::for_night(&forecast.hours, garden.place, ASKED, at_step(ASKED, steps));
    let least =
        (0..steps).filter_map(|k| sky.air_c(at_step(ASKED, k))).fold(f64::INFINITY, f64::min);
    let ensemble = Ensemble::draw(&sky, &forecast, &garden.site, ASKED, steps, nights, 1);
    let lows = ensemble.forcing.iter().flat_map(|block| {
        let low = |l: usize| block.iter().map(|f| f.air_c.lane(l)).fold(f64::INFINITY, f64::min);
        (0..WIDTH).map(low).collect::<Vec<_>>()
    });
    let mean = lows.sum::<f64>() / ensemble.members() as f64;
    println!("forecast {least:.2} °C, mean of the drawn minima {mean:.2} °C");
    assert!((mean - least).abs() < 0.05, "{mean} {least}");
}

/// Common practice, no source. The forecast is a clear night at about 27 °F in the garden.
#[test]
fn the_trade_facts_of_a_27_degree_night_hold() {
    let r = report(&calm());
    let low_f = r.weather.garden_low_c.p50 * 1.8 + 32.0;
    assert!((26.0..28.5).contains(&low_f), "{low_f}");
    for name in ["strawberries", "broccoli", "cabbage"] {
        assert!(bed(&r, name).chosen.is_some(), "{name} gets a cover");
    }
    for name in ["kale", "spinach"] {
        assert!(bed(&r, name).chosen.is_none(), "{name} is left open");
        assert!(matches!(bed(&r, name).reason, Reason::SafeOpen { .. }), "{name}");
    }
    let mulch = bed(&r, "lettuce seedlings")
        .options
        .iter()
        .find(|o| matches!(o.cover.lie, Placement::LooseMulch { .. }))
        .expect("a mulch is offered");
    assert!(mulch.outcome.chance_of_harm < 0.2);
}

/// Measured nonwoven gains run from 0 to 4 °C (OSU 1988, FAO 2005, reviews); leaves gain more than the air.
/// The trade claim of 7 °F stands beside the computed gain and does not set it.
#[test]
fn a_dusk_laid_50_gram_sheet_gains_within_the_measured_range() {
    let r = report(&calm());
    let o = single_50_grams(&r, "broccoli");
    let over_air = o.outcome.air_low_c.p50 - r.weather.garden_low_c.p50;
    assert!((0.0..4.0).contains(&over_air), "{over_air:.2} K over the air at 2 m");
    assert!(o.leaf_gain_k.p50 > over_air, "{:?}", o.leaf_gain_k);
    let claim = o.cover.claim_k.expect("a claim");
    assert!((o.leaf_gain_k.p50 - claim).abs() > 0.05);
}

/// Under hoops: flowers that touch the cloth gain about as little on either night, for on a clear one the cloth is as cold
/// as an open leaf.
#[test]
fn wind_and_cloud_make_other_gains_for_reasons_the_report_names() {
    let (calm, windy) = (report(&calm()), report(&windy()));
    for name in ["broccoli", "cabbage"] {
        let (a, b) = (single_50_grams(&calm, name), single_50_grams(&windy, name));
        let (b, a) = (b.leaf_gain_k.p50, a.leaf_gain_k.p50);
        assert!(b < 0.8 * a, "{name}: {b:.2} K in wind and cloud, {a:.2} K calm and clear");
    }
    let driver = |r: &Report| {
        r.beds.iter().find_map(|b| match b.reason {
            Reason::Cover { driver, .. } => Some(driver),
            _ => None,
        })
    };
    assert_eq!(driver(&calm), Some(Driver::ClearCalm));
    assert_eq!(driver(&windy), Some(Driver::WindAndCloud));
}

#[test]
fn a_mild_night_needs_nothing() {
    let r = report(&mild());
    assert!(r.work.is_empty());
    assert!(
        r.beds.iter().all(|b| matches!(b.reason, Reason::SafeOpen { margin_k } if margin_k > 0.0))
    );
}

#[test]
fn the_same_seed_gives_the_same_report_and_another_a_near_one() {
    let a = report(&calm());
    assert_eq!(a, report(&calm()));
    let other = Settings { seed: 2, ..Settings::default() };
    let b =
        tonight(&garden(), &open(ASKED), &calm(), Some(&past()), ASKED, other).expect("a report");
    assert_ne!(a, b);
    let low = |r: &Report| bed(r, "broccoli").open.leaf_low_c.p50;
    // 200 nights give a median to about ±0.3 K.
    assert!((low(&a) - low(&b)).abs() < 1.0);
    assert!(a.weather.members >= 200);
}

#[test]
fn the_plan_keeps_within_stock_and_time_and_beats_its_rivals() {
    let g = garden();
    let r = report(&calm());
    let mut used = std::collections::BTreeMap::<Item, u32>::new();
    for b in &r.beds {
        let Some(o) = b.chosen.map(|c| &b.options[c]) else { continue };
        for (item, n) in &o.cover.uses {
            *used.entry(*item).or_default() += n;
        }
    }
    for (item, n) in used {
        let there = match item {
            Item::Sheet(i) => g.stock.sheets[i].count,
            Item::PopUp(i) => g.stock.pop_ups[i].count,
            Item::Pins => g.stock.pins,
            Item::Clips => g.stock.clips,
            Item::LooseMulchLitres => (g.stock.loose_mulch_m3 * 1000.0) as u32,
        };
        assert!(n <= there, "{item:?}: {n} of {there}");
    }
    assert!(r.minutes_needed <= r.minutes_available);
    assert!(r.proof.plan_cost <= r.proof.greedy_cost + 1e-9);
    assert!(r.proof.plan_cost <= r.proof.do_nothing_cost);
    assert!(r.proof.gap == Some(0.0) && r.proof.worst_residual_w_m2 < 0.1);
    for task in &r.work {
        assert!(task.by <= r.sun.dark);
    }
    assert_eq!(r.work.len(), r.beds.iter().filter(|b| b.chosen.is_some()).count());
    assert_eq!(r.work.len(), r.morning.len(), "every cover has its morning");
}

#[test]
fn missing_cloud_is_told_and_widens_the_chances() {
    let mut blind = calm();
    for hour in &mut blind.hours {
        hour.cloud_fraction = None;
        hour.wind_speed_m_s = None;
    }
    let g = garden();
    let r = tonight(&g, &open(ASKED), &blind, Some(&past()), ASKED, Settings::default())
        .expect("a report");
    assert!(r.weather.doubts.iter().any(|d| d.contains("No cloud")));
    assert!(r.weather.doubts.iter().any(|d| d.contains("No wind")));
    assert_eq!((r.weather.cloud, r.weather.wind_m_s), (None, None));
}

#[test]
fn unknown_days_before_are_told() {
    let r = tonight(&garden(), &open(ASKED), &calm(), None, ASKED, Settings::default())
        .expect("a report");
    assert!(r.weather.doubts.iter().any(|d| d.contains("days before tonight are not known")));
    assert!(report(&calm()).weather.doubts.is_empty());
}

#[test]
fn a_forecast_that_ends_too_soon_or_has_no_temperature_is_refused() {
    let g = garden();
    let mut short = calm();
    short.hours.truncate(8);
    let error =
        tonight(&g, &open(ASKED), &short, None, ASKED, Settings::default()).expect_err("too short");
    assert!(matches!(error, Error::ForecastTooShort { .. }) && !error.is_bug());
    let late = Moment(ASKED.0 + 40 * 86_400);
    let error =
        tonight(&g, &open(late), &calm(), None, late, Settings::default()).expect_err("over");
    assert!(error.to_string().contains("days ago"), "{error}");
    let mut gap = calm();
    for hour in &mut gap.hours[8..17] {
        hour.air_temperature_c = None;
    }
    let error =
        tonight(&g, &open(ASKED), &gap, None, ASKED, Settings::default()).expect_err("a gap");
    assert!(matches!(error, Error::TemperatureGap { .. }), "{error}");
}

#[test]
fn asked_at_night_or_in_the_morning_it_still_answers() {
    for hours in [-8, 5, 8, 12] {
        let at = Moment(ASKED.0 + 3600 * hours);
        let forecast = calm();
        if at < forecast.hours[0].interval.start {
            continue;
        }
        let r = tonight(&garden(), &open(at), &forecast, Some(&past()), at, Settings::default())
            .expect("a report");
        assert!(r.sun.sunset < r.sun.dark && r.sun.dark < r.sun.sunrise);
        assert!(r.sun.sunrise > at);
    }
}

/// Common practice, no source: film in the sun is opened, whatever the air outside.
#[test]
fn film_is_never_left_shut_on_a_sunny_day() {
    let r = report(&calm());
    let peach = r.beds.iter().position(|b| b.bed == "young peach").expect("the bed");
    let chosen = r.beds[peach].chosen.map(|c| &r.beds[peach].options[c].cover);
    let film = chosen.and_then(|c| c.cloth).map(|c| c.kind);
    assert!(matches!(film, Some(SheetKind::Film { .. })), "{film:?}");
    let task = r.morning.iter().find(|m| m.bed == peach).expect("its morning");
    assert_eq!(task.action, MorningAction::OpenEnds, "{task:?}");
    assert!(task.by.hours_since(r.sun.sunrise) <= 5.0, "{task:?}");
}

/// The demonstration's clear night, so many kelvin warmer.
fn warmer(k: f64) -> Forecast {
    let mut forecast = calm();
    for hour in &mut forecast.hours {
        for reading in [&mut hour.air_temperature_c, &mut hour.dew_point_c].into_iter().flatten() {
            reading.value += k;
        }
    }
    forecast
}

/// Hardy plants that stand in the bed lose no tenth on a clear night of 0 °C in the garden: lists of the Universities of Georgia
/// and Michigan have their leaves burnt, not killed, at air of 26 to 31 °F, or hardier. Half the nights harmed chard before.
#[test]
fn established_hardy_plants_stand_a_night_of_freezing_air() {
    let mut garden = garden();
    garden.beds.truncate(1);
    garden.beds[0].on_now = None;
    let plot = garden.beds[0].clone();
    let names = [
        "chard",
        "beet",
        "kale",
        "collard",
        "spinach",
        "cabbage",
        "carrot",
        "onion",
        "parsley",
        "leek",
        "Brussels sprout",
    ];
    garden.beds = names
        .map(|name| {
            let mut bed = plot.clone();
            bed.name = name.into();
            let crop = garden::crops::find(name).expect("a crop");
            let stage = garden::crops::Stage::Established;
            let (height_m, ground_cover) = garden::crops::size(crop, stage);
            let planting = garden::planting::Planting {
                crop,
                stage,
                start: garden::planting::Start::Transplant,
                // As the file has it where nothing is said of it.
                hardened: true,
                worth: 100.0,
                height_m,
                ground_cover,
            };
            bed.plantings = vec![planting];
            bed
        })
        .to_vec();
    let state = GardenState::of_file(&garden, ASKED);
    let settings = Settings { nights: 160, seed: 1 };
    let r =
        tonight(&garden, &state, &warmer(2.4), Some(&past()), ASKED, settings).expect("a report");
    let low = r.weather.garden_low_c.p50;
    assert!(low.abs() < 0.4, "{low}");
    for name in names {
        let open = &bed(&r, name).open;
        println!("{name} {:.2} {:?}", open.chance_of_harm, open.leaf_low_c);
        assert!(open.chance_of_harm < 0.1, "{name} {:.2}", open.chance_of_harm);
    }
}

/// Past days are a matter of fact: the demonstration's ten warm ones before the night leave kale softer than its word.
#[test]
fn the_days_before_tonight_enter_the_limits() {
    let with = |past: Option<&Forecast>| {
        tonight(&garden(), &open(ASKED), &calm(), past, ASKED, Settings { nights: 16, seed: 1 })
            .expect("a report")
    };
    let limit = |r: &Report| bed(r, "kale").limit_c.expect("a limit");
    let (known, not_known) = (with(Some(&past())), with(None));
    assert!(limit(&known) > limit(&not_known) + 0.5, "{} {}", limit(&known), limit(&not_known));
    let told = |r: &Report| {
        r.weather.doubts.iter().any(|d| d.contains("as hardened as the garden file says"))
    };
    assert!(told(&not_known) && !told(&known));
}

/// The demonstration's clear day and night again and again, warmer by so many kelvin by day.
fn again(warmer_day_k: f64) -> Forecast {
    let mut forecast = calm();
    let day: Vec<_> = forecast.hours.iter().take(24).cloned().collect();
    forecast.hours.clear();
    for n in -1..5_i64 {
        for hour in &day {
            let mut hour = *hour;
            let moved = |m: Moment| m.plus_seconds(n * 86_400);
            hour.interval.start = moved(hour.interval.start);
            hour.interval.end = moved(hour.interval.end);
            if let Some(t) = hour.air_temperature_c.as_mut().filter(|t| t.value > 5.0) {
                t.value += warmer_day_k;
            }
            forecast.hours.push(hour);
        }
    }
    forecast
}

/// What `cover` says of the morning of a bed that lies under it since the evening, asked at eight, and what it would cost to
/// leave it.
fn asked_at_eight(name: &str, warmer_day_k: f64, worth: f64, wage: f64) -> (MorningAction, f64) {
    use garden::lying::{NotedBed, NotedSheet, Opening, derive};
    let mut garden = garden();
    garden.beds.retain(|b| b.name == name);
    garden.beds[0].plantings.iter_mut().for_each(|p| p.worth = worth);
    garden.labour.worth_of_hour = wage;
    let sheet = NotedSheet {
        name: Some(garden.stock.sheets[0].name.clone()),
        layers: Some(1),
        loose_mulch: false,
        since: ASKED.plus_seconds(3 * 3600),
    };
    let note = NotedBed { bed: name.into(), sheets: vec![sheet], opening: Opening::Shut };
    let eight = ASKED.plus_seconds(16 * 3600);
    let state = derive(&garden, &[note], eight);
    let forecast = again(warmer_day_k);
    let r =
        tonight(&garden, &state, &forecast, None, eight, Settings::default()).expect("a report");
    let task = r.today.first().copied();
    println!("{name}: {task:?}, then {:?}", r.work);
    task.map_or((MorningAction::LeaveOn, 0.0), |t| (t.action, t.left_costs))
}

/// Common practice, no source: between cold nights cloth is pulled to one side, not carried home, when light or bees are wanted;
/// on a cool day whose light is worth less than the work it stays on.
#[test]
fn a_morning_is_opened_by_what_the_day_costs() {
    // A degree more and heat under the cloth comes on top.
    let (action, light) = asked_at_eight("cabbage", 13.0, 500.0, 6.0);
    println!("CASE {light}");
    assert_eq!(action, MorningAction::HalfOff);
    // A crop of 65 to 80 days (row 55 of docs/science.md) loses less than a day by a day of dim light.
    assert!(light > 0.5 && light < 500.0 / 65.0, "a day of light under cloth: {light}");
    let (action, _) = asked_at_eight("cabbage", 0.0, 20.0, 60.0);
    assert_eq!(action, MorningAction::LeaveOn, "twenty of worth and dear work");
    let (action, bees) = asked_at_eight("strawberries", 6.0, 2000.0, 6.0);
    assert_eq!(action, MorningAction::HalfOff);
    // Twenty days of flowers, by far most of one of them.
    assert!((60.0..110.0).contains(&bees), "{bees}");
    let (_, dearer) = asked_at_eight("strawberries", 6.0, 2400.0, 6.0);
    assert!((dearer / bees - 1.2).abs() < 1e-6, "a fifth more worth, a fifth more lost: {dearer}");
}

#[test]
fn a_night_s_course_holds_its_coldest_half_hour() {
    let r = report(&calm());
    for b in &r.beds {
        let lowest = b.open_temperatures.half_hours.iter().map(|s| s.p50).fold(99.0, f64::min);
        // The coldest half-hour of each night lies at or below the coldest median of any fixed half-hour.
        assert!(b.open.leaf_low_c.p50 <= lowest + 0.15, "{}: {lowest}", b.bed);
        assert!(b.open.leaf_low_c.p50 > lowest - 4.0, "{}: {lowest}", b.bed);
        assert_eq!(b.covered_temperatures.is_some(), b.chosen.is_some(), "{}", b.bed);
    }
}

/// By hand: at 0 °C and saturated, Dilley & O'Brien (1998) give 235.6 W/m² from a clear sky, which is black at −19.3 °C;
/// overcast (Unsworth & Monteith 1975) it is .959 of the air's 315.6 W/m², black at −2.8 °C.
#[test]
fn the_sky_of_a_freezing_night() {
    for (cloud, expected) in [(0, -19.3), (100, -2.8)] {
        let mut csv = String::from(
            "# zone = America/Chicago\ntime,air_temperature_c,dew_point_c,wind_speed_m_s,cloud_pct\n",
        );
        for hour in 12..37 {
            let (day, of_day) = (14 + hour / 24, hour % 24);
            csv += &format!("2027-05-{day:02}T{of_day:02}:00,0.0,0.0,1.0,{cloud}\n");
        }
        let forecast = weather::read(csv.as_bytes()).expect("reads");
        let r = tonight(&garden(), &open(ASKED), &forecast, None, ASKED, Settings::default());
        let hours = r.expect("a report").weather.hours;
        assert!(!hours.is_empty());
        for sky_c in hours.iter().map(|h| h.sky_c.expect("cloud is told")) {
            assert!((sky_c - expected).abs() < 0.1, "{cloud}: {sky_c}");
        }
    }
}
