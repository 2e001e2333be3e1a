//! Loads against tables and sums.

use structure::constants::AIR_KG_M3;
use structure::constants::GRAVITY_M_S2;
use structure::load::Load;
use structure::snow::{Snow, SnowLoad, depth_m, snow};
use structure::wind::{dynamic_pressure_pa, pressure_coefficients, wind_m_s};
use structure::{Arch, Shape};

/// Wind (m/s) and pressure (Pa): q = 0.613 V² (ASCE 7, from memory).
#[test]
fn wind_pressures() {
    for (v, q) in [(5.0, 15.3), (10.0, 61.3), (15.0, 137.9), (20.0, 245.2), (25.0, 383.1)] {
        assert!((dynamic_pressure_pa(AIR_KG_M3, v) - q).abs() < 0.3, "{v}");
        assert!((wind_m_s(AIR_KG_M3, dynamic_pressure_pa(AIR_KG_M3, v)) - v).abs() < 1e-12);
    }
    // Worked example of EN 1991-1-4: v_b 26 m/s, ρ 1.25 kg/m³ give q_b 0.4225 kN/m² (read).
    assert!((dynamic_pressure_pa(1.25, 26.0) - 422.5).abs() < 0.05);
    // 0.00256 V² lbf/ft² with V in miles an hour: 40 mph 4.10 (from memory).
    assert!((dynamic_pressure_pa(AIR_KG_M3, 40.0 * 0.44704) / 47.880 - 4.10).abs() < 0.01);
}

/// At rise/span 0.5: +0.7, −1.2, −0.5 (ASCE 7, from memory); EN 1991-1-4 has +0.8, −1.2, −0.4 (from memory).
#[test]
fn wind_coefficients_of_a_half_circle() {
    for (ours, (asce, en)) in
        pressure_coefficients(0.5).iter().zip([(0.7, 0.8), (-1.2, -1.2), (-0.5, -0.4)])
    {
        assert!((ours - asce).abs() < 1e-12);
        assert!((ours - en).abs() < 0.101);
    }
}

/// EN 1991-1-3 annex E, kN/m³, from memory: fresh 1.0, settled 2.0, old 2.5–3.5, wet 4.0.
#[test]
fn snow_weighs_what_the_standard_says() {
    for (kind, low, high) in [
        (Snow::Fresh, 1.0, 1.0),
        (Snow::Settled, 2.0, 2.0),
        (Snow::Old, 2.5, 3.5),
        (Snow::Wet, 4.0, 4.0),
    ] {
        let (density, _) = kind.density_kg_m3();
        let weight = |d: f64| d * GRAVITY_M_S2 / 1e3;
        assert!(weight(density.low) < high && weight(density.high) + 0.1 > low, "{kind:?}");
        assert!(density.low < density.central && density.central < density.high);
    }
    assert!((depth_m(400.0, 4000.0 / GRAVITY_M_S2) - 0.1).abs() < 1e-12);
}

/// On a half circle snow lies where the slope is at most 60°: over sin 60° of the span.
#[test]
fn snow_lies_where_it_is_flat_enough() {
    let arch = Arch::from_span_and_rise(Shape::Arc, 2.0, 1.0).expect("an arch");
    let outline = arch.outline(64);
    let even = snow(&outline, 100.0, 0.5, SnowLoad::Even);
    let total: f64 = even.down_n().iter().sum();
    assert!((total / (100.0 * 0.5 * 2.0 * 60f64.to_radians().sin()) - 1.0).abs() < 2e-3, "{total}");
    let drift = snow(&outline, 100.0, 0.5, SnowLoad::HalfOnOneSide);
    let half: f64 = drift.down_n().iter().sum();
    assert!((half / total - 0.75).abs() < 1e-9);
    let left: f64 = drift.down_n()[..32].iter().sum::<f64>() + drift.down_n()[32] / 3.0;
    assert!((left / half - 1.0 / 3.0).abs() < 1e-9, "{left} of {half}");
}

#[test]
fn loads_add_up() {
    let outline =
        Arch::from_span_and_rise(Shape::HalfEllipse, 1.0, 0.7).expect("an arch").outline(50);
    let sum = |l: &Load| l.down_n().iter().sum::<f64>();
    assert!((sum(&Load::down_per_span(&outline, |_, _| 3.0)) - 3.0).abs() < 1e-9);
    assert!((sum(&Load::on_crown(&outline, 5.0)) - 5.0).abs() < 1e-12);
    let length =
        Arch::from_span_and_rise(Shape::HalfEllipse, 1.0, 0.7).expect("an arch").length_m();
    assert!((sum(&Load::down_per_length(&outline, 3.0)) / (3.0 * length) - 1.0).abs() < 1e-3);
    let both = Load::on_crown(&outline, 5.0).and(&Load::pressure(&outline, |x| x));
    assert!((sum(&both) - 5.0).abs() < 1e-12);
    assert!((both.inward_n_m()[0] - 0.003).abs() < 0.003 && both.inward_n_m()[49] > 0.99);
}
