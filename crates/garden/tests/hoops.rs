//! Hoops against the published elastica and the worked loads.

use garden::hoops::{Hoops, Material, elastica_rise};

/// Timoshenko & Gere, *Theory of Elastic Stability*, table 2-4 (pinned rod; printed digits): chord/L and rise/L.
#[test]
fn the_elastica_matches_the_published_table() {
    for (chord, rise) in [
        (0.9697, 0.1097),
        (0.8812, 0.2111),
        (0.7410, 0.2966),
        (0.5594, 0.3597),
        (0.4569, 0.3814),
        (0.3490, 0.3958),
        (0.1232, 0.4016),
        (0.5, 0.3733),
        (0.9, 0.1949),
    ] {
        // Four printed digits of the chord; near 1 the rise changes fast with it.
        assert!((elastica_rise(chord) - rise).abs() < 1e-3, "{chord}: {}", elastica_rise(chord));
    }
}

fn hoops(material: Material) -> Hoops {
    let half_circle = std::f64::consts::PI * 0.45;
    Hoops {
        length_m: half_circle,
        bury_m: 0.0,
        spacing_m: 1.2,
        span_m: 0.9,
        diameter_m: 0.003_429,
        material,
    }
}

#[test]
fn a_soft_wire_bent_to_a_half_circle_is_as_high_as_its_radius() {
    assert!((hoops(Material::SoftWire).rise_m() - 0.45).abs() < 1e-6);
}

/// US steel wire 10 gauge at 350 MPa: Mp 2.35 N m (derived table).
#[test]
fn the_plastic_moment_of_ten_gauge_wire() {
    assert!((hoops(Material::SoftWire).plastic_moment_n_m() - 2.35).abs() < 0.01);
}

/// Worked example: span .9 m, spacing 1.2 m, 10 cm of wet snow (4 kN/m³) gives 8.76 N m > 2.35: collapse; 2 cm of
/// fresh (1 kN/m³) gives .44 N m: stands.
#[test]
fn the_snow_example_collapses_as_computed() {
    let h = hoops(Material::SoftWire);
    let (wet, fresh) = (4000.0 / 9.81, 1000.0 / 9.81);
    assert!(h.snow_held_m(wet) < 0.10 && h.snow_held_m(fresh) > 0.02);
    assert!((h.plastic_moment_n_m() / h.snow_held_m(wet) * 0.10 - 8.76).abs() < 0.02);
    assert!((h.plastic_moment_n_m() / h.snow_held_m(fresh) * 0.02 - 0.44).abs() < 0.01);
}

/// q = 0.613 V²: 10 m/s gives 61.3 Pa; the pins of a bay hold less than any stake table would say.
#[test]
fn more_pins_hold_more_wind() {
    let gust = |pins| garden::hoops::pins_hold_gust_m_s(1.6, 12.0, pins);
    assert!(gust(48) > gust(24));
    assert!((gust(48) / gust(12) - 2.0).abs() < 1e-9, "the load grows with the square of the wind");
}
