//! An invented record of daily minima and maxima, the demonstration garden, and Milwaukee where it is at hand.

use garden::{Garden, file};
use weather::StationRecord;

/// The demonstration garden of Wisconsin.
pub fn garden() -> Garden {
    file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden.expect("reads")
}

/// Daily extremes of 1990 to 1996 with a yearly wave and weather of a few days' memory; the seasons of the south are half a
/// year on. Invented.
pub fn record(south: bool) -> StationRecord {
    let mut csv = String::from("date,tmin_c,tmax_c\n");
    let (mut state, mut spell) = (7_u64, 0.0);
    let mut uniform = move || {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 11) as f64 / (1_u64 << 53) as f64
    };
    for day in 0..7 * 365 + 2 {
        let date = weather::station::calendar::date_of(7305 + day);
        let phase = f64::from(date.day_of_year()) + if south { 182.6 } else { 0.0 };
        let mean = 8.5 - 15.0 * ((phase - 20.0) / 365.25 * std::f64::consts::TAU).cos();
        let noise: f64 = (0..6).map(|_| uniform() - 0.5).sum();
        spell = 0.7 * spell + 3.0 * noise;
        let range = 5.0 + 14.0 * uniform();
        let (low, high) = (mean + spell - range / 2.0, mean + spell + range / 2.0);
        csv += &format!("{date},{low:.1},{high:.1}\n");
    }
    weather::station::read(csv.as_bytes()).expect("reads")
}

/// A measured record; `None` after telling where the measured data are absent.
pub fn measured(name: &str) -> Option<StationRecord> {
    let bytes = measured_data::file(&format!("stations/{name}"))?;
    Some(weather::station::read(&bytes).expect("reads"))
}

/// Milwaukee's record.
pub fn milwaukee() -> Option<StationRecord> {
    measured("GHCN_USW00014839_Milwaukee_1938-2026.csv")
}
