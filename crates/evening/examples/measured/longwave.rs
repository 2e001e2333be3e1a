//! Clear-night long-wave by each published formula against what pyrgeometers measured.

use microclimate::black_body::emission;
use microclimate::sky;

use crate::daylight::Cloud;
use crate::table::{Pairs, Row};

/// Formula, its name, and whether it is the model's.
type Formula = (&'static str, fn(f64, f64) -> f64);

const FORMULAS: [Formula; 4] = [
    ("Brutsaert 1975", sky::brutsaert),
    ("Prata 1996", sky::prata),
    ("Brunt 1932", |_, e| sky::brunt(e)),
    ("Idso & Jackson 1969", |t, _| sky::idso_jackson(t)),
];

/// One clear-night reading: air °C, vapour kPa, long-wave W/m².
pub type Reading = (f64, f64, f64);

/// Whether passing cloud is unlikely at reading `i`: over the hour and a half on both sides the sky's emissivity
/// keeps within 3 % and below that of low cloud. `reach` is that time in readings.
pub fn steady(readings: &[Option<Reading>], i: usize, reach: usize) -> bool {
    let around = &readings[i.saturating_sub(reach)..(i + reach + 1).min(readings.len())];
    let emissivity = |r: &Reading| r.2 / emission(r.0).0;
    let all: Vec<f64> = around.iter().flatten().map(emissivity).collect();
    let (low, high) = all.iter().fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(*x), b.max(*x)));
    all.len() > reach && high - low < 0.03 && high < 0.9
}

/// Half-hours of nights that were clear by the sun before and after, and steady.
pub fn clear_nights(readings: &[Option<Reading>], clouds: &[Option<Cloud>]) -> Vec<Reading> {
    (0..readings.len())
        .filter(|i| clouds[*i].is_some_and(|c| c.clear_night) && steady(readings, *i, 3))
        .filter_map(|i| readings[i])
        .collect()
}

/// A row for the model's sky above snow.
pub fn row_over_snow(site: &'static str, readings: &[Reading]) -> Row {
    let mut pairs = Pairs::default();
    for (air, vapour, longwave) in readings {
        pairs.add(sky::longwave_over_snow_w_m2(*air, *vapour, 0.0, 0.0, 1.0), *longwave);
    }
    pairs.row(site, "the same by the formula for snow")
}

/// One row for the model's sky, with its target, and one for each other formula.
pub fn rows(site: &'static str, readings: &[Reading]) -> Vec<Row> {
    let against = |formula: &dyn Fn(f64, f64) -> f64| {
        let mut pairs = Pairs::default();
        for (air, vapour, longwave) in readings {
            pairs.add(formula(*air, *vapour), *longwave);
        }
        pairs
    };
    let model = against(&|t, e| sky::longwave_w_m2(t, e, 0.0, 0.0));
    let mut rows = vec![
        model.row(site, "clear-night long-wave, W/m²").aim("bias ±8", model.bias().abs() <= 8.0),
    ];
    for (name, formula) in FORMULAS {
        let pairs = against(&|t, e| formula(t, e) * emission(t).0);
        rows.push(pairs.row(site, format!("the same by {name}")));
    }
    rows
}
