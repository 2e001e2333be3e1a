//! Whole nights against a second implementation: temperatures that `checks/second` computed in continuous time,
//! kept in `checks/second/answers.json` (`checks/run` compares all hours afresh).

use serde::Deserialize;

#[path = "../examples/five_days/scenario.rs"]
mod scenario;

const SCENARIOS: &str = include_str!("../../../checks/second/scenarios.json");
const ANSWERS: &str = include_str!("../../../checks/second/answers.json");

#[derive(Deserialize)]
struct Answer {
    name: String,
    hour: usize,
    /// Ground, leaf, air, inner and outer cover, soil at 2 and at 10 cm.
    c: [Option<f64>; 7],
}

fn at_depth(depth_m: f64, depths_m: &[f64], celsius: &[f64]) -> f64 {
    let cells: Vec<(f64, f64)> =
        depths_m.iter().copied().zip(celsius.iter().copied()).filter(|c| c.0 > 0.0).collect();
    let i = cells.partition_point(|c| c.0 <= depth_m).clamp(1, cells.len() - 1);
    let (a, b) = (cells[i - 1], cells[i]);
    a.1 + (b.1 - a.1) * ((depth_m - a.0) / (b.0 - a.0)).clamp(0.0, 1.0)
}

/// Late at night everything moves slowly and the ten-minute step lags little; by day it lags more, most where the sun
/// dries a film in a few steps.
#[test]
fn whole_nights_agree_with_the_second_implementation() {
    let answers: Vec<Answer> = serde_json::from_str(ANSWERS).expect("answers");
    let courses = scenario::courses(SCENARIOS, 600.0).expect("courses");
    let mut worst = (0.0_f64, 0.0_f64);
    for answer in &answers {
        let course = courses.iter().find(|c| c.name == answer.name).expect("its scenario");
        let s = &course.hours[answer.hour];
        let soil = |d| at_depth(d, &course.depths_m, &s.soil.temperature_c);
        let ours = [s.ground_c, s.leaf_c, s.air_c, s.inner_c, s.outer_c, soil(0.02), soil(0.10)];
        let night = answer.hour % 24 == 5;
        for (ours, theirs) in ours.iter().zip(answer.c).filter_map(|(o, t)| Some((o, t?))) {
            let off = (ours - theirs).abs();
            // Dew that the sun dries off film, or off a sheet on the plants, in a few steps.
            let by_day = match answer.name.as_str() {
                "film" => 0.65,
                "floating 30 g" => 0.2,
                _ => 0.12,
            };
            let (seen, limit) = if night { (&mut worst.0, 0.08) } else { (&mut worst.1, by_day) };
            *seen = seen.max(off);
            assert!(off < limit, "{} hour {}: {ours:.3} {theirs:.3}", answer.name, answer.hour);
        }
    }
    println!("greatest difference: {:.3} K by night, {:.3} K by day", worst.0, worst.1);
}
