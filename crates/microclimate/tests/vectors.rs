//! Published check values, from data files: function, inputs, expected, tolerance, source, reason.

use microclimate::cover::Fabric;
use microclimate::{exchange, moist_air, sky, soil_properties, sun};
use quantities::{Moment, Place};
use serde::Deserialize;

#[derive(Deserialize)]
struct File {
    check: Vec<Check>,
}

#[derive(Deserialize)]
struct Check {
    function: String,
    inputs: Vec<f64>,
    expected: f64,
    tolerance: f64,
    source: String,
    reason: String,
}

const FILES: [&str; 4] = [
    include_str!("vectors/convection.toml"),
    include_str!("vectors/moist_air.toml"),
    include_str!("vectors/sky.toml"),
    include_str!("vectors/soil.toml"),
];

fn compute(function: &str, x: &[f64]) -> f64 {
    match function {
        "saturation_vapour_pressure_kpa" => moist_air::saturation_vapour_pressure_kpa(x[0]),
        "saturation_over_ice_kpa" => moist_air::saturation_over_ice_kpa(x[0]),
        "face" => exchange::face(x[0], x[1], x[2]),
        "free_inside" => exchange::free_inside(x[0], x[1]),
        "dew_point_c" => moist_air::dew_point_c(x[0]),
        "frost_point_c" => moist_air::frost_point_c(x[0]),
        "wet_bulb_c" => moist_air::wet_bulb_c(x[0], x[1], x[2]),
        "pressure_kpa" => moist_air::pressure_kpa(x[0]),
        "psychrometric_constant_kpa_k" => moist_air::psychrometric_constant_kpa_k(x[0]),
        "brutsaert" => sky::brutsaert(x[0], x[1]),
        "clear_sky_w_m2" => sky::clear_sky_w_m2(x[0], x[1]),
        "longwave_w_m2" => sky::longwave_w_m2(x[0], x[1], x[2], x[3]),
        "clear_sunlight_w_m2" => sky::clear_sunlight_w_m2(x[0]),
        "cloud_light" => sky::cloud_light(x[0]),
        "free_above" => exchange::free_above(x[0]),
        "outside" => exchange::outside(x[0]),
        "stability" => exchange::stability(x[0], x[1], x[2]),
        "row_cover_transmissivity" => Fabric::row_cover(x[0]).longwave_dry.transmissivity,
        "row_cover_permeability" => Fabric::row_cover(x[0]).permeability_m_s,
        "with_cloud" => sky::with_cloud(x[0], x[1]),
        "brunt" => sky::brunt(x[0]),
        "idso_jackson" => sky::idso_jackson(x[0]),
        "prata" => sky::prata(x[0], x[1]),
        "idso_1981" => sky::idso_1981(x[0], x[1]),
        "crawford_duchon" => sky::crawford_duchon(x[0], x[1]),
        "heat_capacity_mj_m3_k" => soil_properties::heat_capacity_mj_m3_k(x[0], x[1], x[2]),
        "johansen_w_m_k" => soil_properties::johansen_w_m_k(x[0], x[1], x[2], x[3], x[4] > 0.5),
        "campbell_w_m_k" => soil_properties::campbell_w_m_k(x[0], x[1], x[2]),
        "damping_depth_m" => soil_properties::damping_depth_m(x[0], x[1]),
        other => panic!("no function {other} in the table of vectors.rs"),
    }
}

#[test]
fn every_published_value_is_met() {
    let mut checked = 0;
    for file in FILES {
        let file: File = toml::from_str(file).expect("a vector file reads");
        for c in file.check {
            assert!(!c.source.is_empty() && !c.reason.is_empty() && c.tolerance > 0.0);
            let got = compute(&c.function, &c.inputs);
            assert!(
                (got - c.expected).abs() <= c.tolerance,
                "{}({:?}) = {got}, {} says {}",
                c.function,
                c.inputs,
                c.source,
                c.expected
            );
            checked += 1;
        }
    }
    assert!(checked > 60, "only {checked} vectors");
}

/// Reda & Andreas 2004 (NREL/TP-560-34302), table A5.1: 17 October 2003, 12:30:30 at UTC −7, TT − UT 67 s;
/// zenith 50.11162°, azimuth 194.34024°. The published zenith carries refraction at 820 mbar and 11 °C,
/// which is 0.0163° at that height by the report's own eq. 42 (e0 39.872046°, Δe 0.016332°).
#[test]
fn the_published_solar_position_example() {
    let place = Place { latitude_deg: 39.742_476, longitude_deg: -105.178_6, elevation_m: 1830.14 };
    let at = Moment(1_066_419_030);
    let p = sun::position_at(&place, at.julian_date(), 67.0).expect("on the globe");
    assert!((p.azimuth_deg - 194.340_24).abs() < 1e-4, "{p:?}");
    assert!((p.zenith_deg - 0.016_332 - 50.111_62).abs() < 2e-4, "{p:?}");
}

/// FAO-56 example 9: 3 September at 20° S has 11.7 daylight hours, geometric; the upper limb and refraction
/// add 2 × 0.833°/15 per cos φ cos δ… 0.12 h, so 11.8 ± 0.05.
#[test]
fn day_length_agrees_with_the_handbook() {
    let place = Place { latitude_deg: -20.0, longitude_deg: 0.0, elevation_m: 0.0 };
    let midnight = Moment(1_725_321_600); // 2024-09-03T00:00Z
    let rise = sun::next_crossing(&place, midnight, 0.0, false).expect("rises");
    let set = sun::next_crossing(&place, rise, 0.0, true).expect("sets");
    assert!((set.hours_since(rise) - 11.67).abs() < 0.05, "{}", set.hours_since(rise));
}
