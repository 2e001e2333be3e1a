//! Cross-sections against tables.

use structure::wire_gauge::{STEEL_WIRE_IN, wire};
use structure::{Error, Section};

/// Gauge; diameter (mm), mass (g/m), I (mm⁴), Mp at 350 MPa (N m), EI at 200 GPa (N m²): steel wire gauge diameters from
/// memory, the rest computed from them apart from this program.
const TABLE: [(f64, [f64; 5]); 6] = [
    (8.0, [4.115, 104.4, 14.07, 4.06, 2.81]),
    (9.0, [3.767, 87.5, 9.883, 3.12, 1.98]),
    (10.0, [3.429, 72.5, 6.786, 2.35, 1.36]),
    (11.0, [3.061, 57.8, 4.308, 1.67, 0.862]),
    (12.0, [2.680, 44.3, 2.531, 1.12, 0.506]),
    (12.5, [2.515, 39.0, 1.963, 0.93, 0.393]),
];

#[test]
fn the_wire_gauge_table() {
    for (gauge, row) in TABLE {
        let s = wire(gauge).expect("a gauge of the table");
        let got = [
            1e3 * s.outer_m(),
            1e3 * s.mass_kg_m(7850.0),
            1e12 * s.second_moment_m4(),
            350e6 * s.plastic_modulus_m3(),
            200e9 * s.second_moment_m4(),
        ];
        for (g, w) in got.iter().zip(row) {
            assert!((g / w - 1.0).abs() < 0.005, "gauge {gauge}: {g} for {w}");
        }
    }
}

/// Wire grows thinner with the gauge by about the same ratio a step (a drawing trade's rule, common practice, no source).
#[test]
fn gauges_step_evenly() {
    let whole: Vec<_> = STEEL_WIRE_IN.iter().filter(|g| g.0.fract() == 0.0).collect();
    for pair in whole.windows(2) {
        let ratio = pair[1].1 / pair[0].1;
        assert!((0.85..0.94).contains(&ratio), "{} to {}: {ratio}", pair[0].0, pair[1].0);
    }
}

#[test]
fn a_gauge_that_is_not_there_names_its_neighbours() {
    for (gauge, thicker, thinner) in
        [(11.5, 11.0, 12.0), (3.0, 6.0, 6.0), (20.0, 14.0, 14.0), (12.7, 12.5, 13.0)]
    {
        assert_eq!(wire(gauge), Err(Error::UnknownGauge { gauge, thicker, thinner }));
    }
}

/// A thin tube tends to I = π d³ t/8 and S = d² t.
#[test]
fn a_thin_tube_and_a_solid_one() {
    let (d, t) = (0.02, 0.0003);
    let tube = Section::tube(d + t, t).expect("a tube");
    assert!(
        (tube.second_moment_m4() / (std::f64::consts::PI * d.powi(3) * t / 8.0) - 1.0).abs() < 1e-3
    );
    assert!((tube.plastic_modulus_m3() / (d * d * t) - 1.0).abs() < 1e-3);
    assert_eq!(Section::tube(0.02, 0.01), Section::round(0.02));
    for wrong in [f64::NAN, -1.0, 0.0, 0.011] {
        assert!(Section::tube(0.02, wrong).is_err(), "{wrong}");
    }
}
