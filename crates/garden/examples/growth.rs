//! Days to first picking of every crop at four mean temperatures, in long days, in nine-hour days, and under a cover.
//!
//! `cargo run -p garden --example growth`

use garden::crops;
use garden::growth::{self, Day, Growth, Shelter, Start, pests, walk};

const MEANS_C: [f64; 4] = [10.0, 15.0, 20.0, 25.0];
/// A sheet that stays on: invented, for the table only.
const SHEET: Shelter = Shelter { day_gain_k: 4.0, night_gain_k: 1.5, light_share: 0.8 };

fn main() {
    println!(
        "days to first picking; base and upper in °C; sums in K·d; `~` marks a rough base or rough days"
    );
    println!(
        "crop             from     base upper   sum | 10 °C 15 °C 20 °C 25 °C | 15 °C, 9 h | 10 °C, sheet | picked | nets keep off"
    );
    for id in crops::all() {
        let Some(g) = growth::crop_growth(id) else { continue };
        let Some(start) = g.start else { continue };
        let at = |mean_c: f64, hours: f64| Day {
            tmin_c: Some(mean_c - 6.0),
            tmax_c: Some(mean_c + 6.0),
            day_length_h: hours,
            light_share: 1.0,
        };
        let by_mean: Vec<String> =
            MEANS_C.iter().map(|m| format!("{:>5}", days(&g, start, at(*m, 14.0)))).collect();
        let keep_off: Vec<&str> = pests::pests_of_crop(id).iter().map(|p| p.name).collect();
        println!(
            "{:16} {:8} {}{:4.1} {:5.1} {:5.0} | {} | {:>10} | {:>12} | {:>6.0} | {}",
            crops::name(id),
            word(start),
            if g.rough { "~" } else { " " },
            g.base_c,
            g.upper_c,
            g.to_picking(start).unwrap_or(0.0),
            by_mean.join(" "),
            days(&g, start, at(15.0, 9.0)),
            days(&g, start, at(10.0, 14.0).under(&SHEET)),
            g.picking_days,
            keep_off.join(", ")
        );
    }
}

fn days(g: &Growth, start: Start, day: Day) -> String {
    let first = walk(g, start, &vec![day; 400]).and_then(|p| p.first_picking);
    first.map_or("-".into(), |i| (i + 1).to_string())
}

fn word(start: Start) -> &'static str {
    match start {
        Start::Sown => "sown",
        Start::SetOut => "set out",
        Start::Planted => "planted",
        Start::Bloom => "bloom",
    }
}
