//! What helps without cloth: dry soil watered in time, ripe crops picked, pots carried in.

use evening::report::{Handwork, Measure, Reason, Report};
use evening::{Settings, tonight};
use garden::bed::Wetness;
use garden::crops::Stage;
use garden::lying::GardenState;
use garden::{Garden, file};
use quantities::Moment;
use weather::Forecast;

/// Noon and 16:00 in Chicago on 14 May 2027; the sun is highest there at 12:59 and sets at 20:24.
const NOON: Moment = Moment(1_810_314_000);
const AFTERNOON: Moment = Moment(1_810_328_400);

/// The demonstration garden without stock, so that nothing but work without cloth is left.
fn garden() -> Garden {
    let read = file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden;
    let mut garden = read.expect("reads");
    garden.stock.sheets.clear();
    garden.stock.pop_ups.clear();
    garden.stock.loose_mulch_m3 = 0.0;
    for bed in &mut garden.beds {
        bed.on_now = None;
    }
    garden
}

/// Clear and calm, 13 °C by day and −2 °C at night.
fn cold() -> Forecast {
    let mut csv = String::from(
        "# zone = America/Chicago\ntime,air_temperature_c,dew_point_c,wind_speed_m_s,cloud_pct\n",
    );
    for hour in 0..60 {
        let air = 5.5 + 7.5 * ((f64::from(hour) - 15.0) / 12.0 * std::f64::consts::PI).cos();
        csv += &format!("2027-05-{:02}T{:02}:00,{air:.1},-3.0,1.0,5\n", 13 + hour / 24, hour % 24);
    }
    weather::read(csv.as_bytes()).expect("reads")
}

fn ask(garden: &Garden, at: Moment) -> Report {
    let state = GardenState::of_file(garden, at);
    tonight(garden, &state, &cold(), None, at, Settings::default()).expect("a report")
}

fn said<'a>(r: &'a Report, bed: &str) -> Vec<&'a Handwork> {
    r.without_cloth.iter().filter(|h| r.beds[h.bed].bed == bed).collect()
}

/// Moist soil stores more heat than dry soil; 0.5 to 2 K at dawn are told of (FAO 2005, *Frost Protection*, on soil water, from
/// memory); watering in the evening does no good (common practice, no source).
#[test]
fn dry_soil_is_watered_by_early_afternoon_or_not_at_all() {
    let mut garden = garden();
    let watered = |r: &Report| -> Vec<Handwork> {
        let is = |h: &&Handwork| matches!(h.measure, Measure::Water { .. });
        r.without_cloth.iter().filter(is).copied().collect()
    };
    for bed in &mut garden.beds {
        bed.wetness = Wetness::Dry;
    }
    let noon = watered(&ask(&garden, NOON));
    assert!(!noon.is_empty());
    for h in &noon {
        let Measure::Water { gain_k } = h.measure else { continue };
        assert!(gain_k.p50 > 0.1 && gain_k.p50 < 2.5, "{gain_k:?}");
        assert!(h.by > NOON && h.by < AFTERNOON && h.saves > 0.0 && h.minutes > 0.0);
    }
    assert!(watered(&ask(&garden, AFTERNOON)).is_empty(), "too late");
    for bed in &mut garden.beds {
        bed.wetness = Wetness::Damp;
    }
    assert!(watered(&ask(&garden, NOON)).is_empty(), "it is not dry");
}

#[test]
fn what_is_ripe_and_would_be_lost_is_picked_before_dark() {
    let mut garden = garden();
    let name = "early tomatoes";
    let bed = garden.beds.iter_mut().find(|b| b.name == name).expect("tomatoes");
    for p in &mut bed.plantings {
        p.stage = Stage::Mature;
    }
    let by_day = ask(&garden, AFTERNOON);
    let picked = said(&by_day, name);
    assert!(picked.iter().any(|h| h.measure == Measure::Pick && h.by <= by_day.sun.dark));
    let dark = ask(&garden, by_day.sun.dark.plus_seconds(600));
    assert!(said(&dark, name).iter().all(|h| h.measure != Measure::Pick));
    let young = ask(&self::garden(), AFTERNOON);
    assert!(said(&young, name).iter().all(|h| h.measure != Measure::Pick));
}

#[test]
fn pots_are_carried_in_where_that_saves_more_than_its_minutes_cost() {
    let mut garden = garden();
    let name = "early tomatoes";
    let bed = garden.beds.iter_mut().find(|b| b.name == name).expect("tomatoes");
    bed.pots = 12;
    let r = ask(&garden, AFTERNOON);
    let carried = said(&r, name);
    assert_eq!(carried[0].measure, Measure::CarryIn { pots: 12 });
    assert!((carried[0].minutes - 12.0).abs() < 1e-9);
    let index = garden.beds.iter().position(|b| b.name == name).expect("tomatoes");
    garden.beds[index].pots = 10_000;
    garden.labour.minutes_each = 10_000.0;
    assert!(
        said(&ask(&garden, AFTERNOON), name).is_empty(),
        "ten thousand pots are no evening's work"
    );
}

/// One person with ten minutes, a row to cover and pots to carry: what saves more a minute is done and the other is not told;
/// with an hour both are, by times that hold them both.
#[test]
fn work_without_cloth_takes_its_part_of_the_evenings_minutes() {
    let full = file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden;
    let mut garden = full.expect("reads");
    garden.beds.retain(|b| ["early tomatoes", "strawberries"].contains(&b.name.as_str()));
    garden.labour.people = 1;
    let (tomatoes, strawberries) = {
        let place = |name: &str| garden.beds.iter().position(|b| b.name == name).expect("there");
        (place("early tomatoes"), place("strawberries"))
    };
    garden.beds[tomatoes].pots = 9;
    garden.beds[tomatoes].hoops = None;
    garden.stock.pop_ups.clear();
    garden.stock.loose_mulch_m3 = 0.0;
    let carried = |r: &Report| r.without_cloth.iter().any(|h| h.bed == tomatoes);
    let covered = |r: &Report| r.work.iter().any(|t| t.bed == strawberries);
    garden.labour.minutes_each = 60.0;
    let hour = ask(&garden, AFTERNOON);
    let cover = hour.work.iter().find(|t| t.bed == strawberries).expect("it is covered");
    let carry = hour.without_cloth.iter().find(|h| h.bed == tomatoes).expect("they are carried");
    let all = cover.minutes + cover.walk_minutes + carry.minutes + carry.walk_minutes;
    assert!((hour.minutes_needed - all).abs() < 1e-9, "{} {all}", hour.minutes_needed);
    assert_eq!(hour.beds[tomatoes].reason, Reason::CarriedIn);
    let start = hour.start_by.expect("a start");
    let last = cover.by.max(carry.by);
    assert!(start.0 as f64 <= last.0 as f64 - 60.0 * all + 1.0, "{start:?} {last:?} {all}");
    // The work by itself, and a minute of walking to each bed.
    let longer = cover.minutes.max(carry.minutes) + 1.0;
    garden.labour.minutes_each = longer + 0.1;
    let short = ask(&garden, AFTERNOON);
    assert!(carried(&short) != covered(&short), "{:?} {:?}", short.without_cloth, short.work);
    assert!(short.minutes_needed <= garden.labour.minutes_each);
    assert_eq!(carried(&short), carry.saves > cover.saves, "{} {}", carry.saves, cover.saves);
}

/// A bed that lies dry and one to cover, asked at noon: watering has its own time, its minutes are the evening's.
#[test]
fn watering_counts_in_the_evenings_minutes() {
    let mut garden = garden();
    for bed in &mut garden.beds {
        bed.wetness = Wetness::Dry;
    }
    let minutes = |r: &Report| r.without_cloth.iter().map(|h| h.minutes).sum::<f64>();
    let all = ask(&garden, NOON);
    assert!(minutes(&all) > 12.0, "{}", minutes(&all));
    assert!(all.without_cloth.iter().all(|h| h.by.0 as f64 >= NOON.0 as f64 + 60.0 * h.minutes));
    garden.labour.people = 1;
    garden.labour.minutes_each = 12.0;
    let few = ask(&garden, NOON);
    assert!(minutes(&few) <= 12.0, "{}", minutes(&few));
    assert!(few.without_cloth.len() < all.without_cloth.len());
}
