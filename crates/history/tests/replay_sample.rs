//! The replay's short cut beside the evening itself: the same nights by the full ensemble of 200 members.

use evening::plan::best;
use evening::{Settings, tonight};
use garden::lying::GardenState;
use history::replay::policy_run::{PolicyRun, covers_by_warmth};
use history::years::batch_weather::{first_day, stated_priors};
use history::years::night::{Information, Night};
use history::years::{Batch, Simulation, growing_season};
use milp::Microlp;
use quantities::Moment;
use weather::Forecast;
use weather::hours::hours_of;
use weather::station::calendar::date_of;

use crate::scene::{garden, record};

/// Running sums of a comparison.
#[derive(Default)]
struct Tally {
    beds: f64,
    alike: f64,
    pairs: f64,
    off: f64,
    off_size: f64,
    mine: f64,
    theirs: f64,
    spread_k: [[f64; 2]; 2],
    lower_k: [f64; 2],
    count: [f64; 2],
    cost: f64,
    their_cost: f64,
}

/// At least 30 cold nights; the forecast is right, so that only the short cut differs: stored nights and one spread in
/// place of 200 nights. Bounds after what was measured, rounded outward: nine beds in ten decided alike, and the plan of
/// the short cut, paid at the evening's own expected losses, dearer by less than a twentieth.
#[test]
fn the_short_cut_decides_as_tonight() {
    let (garden, record) = (garden(), record(false));
    let stands = growing_season::by_hardiness(&garden, &record);
    let simulation = Simulation::new(&garden, &record, &stands, 1991..=1996, 1).expect("ready");
    let years: Vec<i16> = simulation.years.clone();
    let batch = Batch::run(&simulation, &years, &|| ()).expect("closes");
    let ranks = covers_by_warmth(&simulation, &batch.tables);
    let none = garden.beds.iter().map(|b| vec![0.0; b.plantings.len()]).collect();
    let (mut sum, mut nights) = (Tally::default(), 0);
    for (lane, &year) in years.iter().enumerate() {
        for mut night in batch.nights(&simulation, lane, 0) {
            let low = night.day.low_c[lane];
            let cold = night.matters.iter().any(|m| *m) && (-6.0..2.0).contains(&low);
            if !cold || (night.day.index + lane) % 3 != 0 {
                continue;
            }
            nights += 1;
            night.evening.air_error_k = 0.0;
            know_ten_days(&garden, &batch, &mut night, lane);
            let run = PolicyRun::new(&simulation, &ranks, &none);
            let problem = run.problem(&night, Information::Forecast, None);
            let mine = best(&problem, &Microlp).expect("a plan");
            let number = first_day(year, garden.place.latitude_deg) + night.day.index as i32;
            let dusk = night.day.dusk - night.d * history::years::batch_weather::STEPS_A_DAY;
            compare(&mut sum, &garden, &record, &night, (&problem, &mine.choice), (number, dusk));
        }
    }
    let per = |x: f64, n: f64| x / n;
    println!(
        "{nights} nights, {} beds: {:.1} % decided alike; expected loss {:.3} by the short cut, {:.3} by the evening \
         (mean of {} choices), mean difference {:.3}, mean size {:.3}; plan dearer by {:.2} %",
        sum.beds,
        100.0 * per(sum.alike, sum.beds),
        per(sum.mine, sum.pairs),
        per(sum.theirs, sum.pairs),
        sum.pairs,
        per(sum.off, sum.pairs),
        per(sum.off_size, sum.pairs),
        100.0 * (sum.cost / sum.their_cost - 1.0),
    );
    for (which, name) in ["open", "covered"].iter().enumerate() {
        println!(
            "{name}: spread of the coldest leaf {:.2} K by the evening, {:.2} K by the short cut; middle {:+.2} K",
            per(sum.spread_k[0][which], sum.count[which]),
            per(sum.spread_k[1][which], sum.count[which]),
            per(sum.lower_k[which], sum.count[which]),
        );
    }
    assert!(nights >= 30, "{nights}");
    assert!(per(sum.alike, sum.beds) > 0.9);
    assert!(sum.cost < 1.05 * sum.their_cost, "{} {}", sum.cost, sum.their_cost);
    // Foreseen lower by `OTHER_LOWER_K`, the short cut's middle is the evening's.
    assert!((0..2).all(|w| per(sum.lower_k[w], sum.count[w]).abs() < 0.05));
    assert!(sum.off.abs() < 0.1 * sum.theirs, "{} {}", sum.off, sum.theirs);
}

/// The replay knows the days of the whole season, the evening ten: plants are taken as hardened as the evening has them.
fn know_ten_days(garden: &garden::Garden, batch: &Batch, night: &mut Night<'_>, lane: usize) {
    let ten = &batch.weather.days[night.d.saturating_sub(10)..night.d];
    let days_c = ten.iter().map(|d| f64::from(d.mean_c[lane])).collect();
    let memory = evening::harm::Memory { days_c, chill_k_h: 0.0 };
    for (bed, at_risk) in garden.beds.iter().zip(&mut night.at_risk) {
        for planting in at_risk {
            *planting = planting.after(&bed.plantings[planting.planting], &memory);
        }
    }
}

fn compare(
    sum: &mut Tally,
    garden: &garden::Garden,
    record: &weather::StationRecord,
    night: &Night<'_>,
    (problem, choice): (&evening::plan::Problem, &[usize]),
    (number, dusk): (i32, usize),
) {
    let place = garden.place;
    let zone = (place.longitude_deg / 15.0).round() as i64;
    let midnight = Moment(i64::from(number) * 86_400 - zone * 3600);
    let asked = midnight.plus_seconds(600 * dusk as i64 - 2 * 3600);
    let hours: Vec<_> = hours_of(record, &place, date_of(number - 11), date_of(number + 1))
        .with_draws(stated_priors(1))
        .map(|h| h.as_weather_hour())
        .collect();
    let forecast = |keep: &dyn Fn(Moment) -> bool| Forecast {
        source: "test",
        issued: Some(asked),
        place: None,
        wind_height_m: 10.0,
        hours: hours.iter().filter(|h| keep(h.interval.start)).copied().collect(),
        notices: Vec::new(),
    };
    let now = asked.floor_hour();
    let mut some = garden.clone();
    let kept: Vec<usize> = (0..night.matters.len()).filter(|b| night.matters[*b]).collect();
    some.beds = kept.iter().map(|b| garden.beds[*b].clone()).collect();
    let (ahead, past) = (forecast(&|m| m >= now), forecast(&|m| m < now));
    let report = tonight(
        &some,
        &GardenState::of_file(&some, asked),
        &ahead,
        Some(&past),
        asked,
        Settings::default(),
    )
    .expect("a report");
    let wage = problem.wage_per_minute;
    let (mut cost, mut theirs_cost) = (0.0, 0.0);
    for (bed, b) in report.beds.iter().zip(&kept) {
        let expected = |c: usize| match c.checked_sub(1) {
            None => bed.open.expected_loss,
            Some(i) => bed.options[i].outcome.expected_loss,
        };
        let labour = |c: usize| wage * f64::from(problem.beds[*b][c].seconds) / 60.0;
        let theirs = bed.chosen.map_or(0, |c| c + 1);
        sum.beds += 1.0;
        sum.alike += f64::from(u8::from((choice[*b] > 0) == (theirs > 0)));
        cost += expected(choice[*b]) + labour(choice[*b]);
        theirs_cost += expected(theirs) + labour(theirs);
        for c in 0..=bed.options.len() {
            let (mine, full) = (problem.beds[*b][c].expected_loss, expected(c));
            sum.pairs += 1.0;
            sum.mine += mine;
            sum.theirs += full;
            sum.off += mine - full;
            sum.off_size += (mine - full).abs();
            let outcome = if c == 0 { &bed.open } else { &bed.options[c - 1].outcome };
            let which = usize::from(c > 0);
            let planting = &night.at_risk[*b][0];
            let Some((foreseen, spread)) =
                night.forecast_tissue(*b, c, planting).filter(|_| !planting.in_soil)
            else {
                continue;
            };
            sum.spread_k[0][which] += (outcome.leaf_low_c.p90 - outcome.leaf_low_c.p10) / 2.563;
            sum.spread_k[1][which] += spread;
            sum.lower_k[which] += outcome.leaf_low_c.p50 - foreseen;
            sum.count[which] += 1.0;
        }
    }
    sum.cost += cost;
    sum.their_cost += theirs_cost;
}
