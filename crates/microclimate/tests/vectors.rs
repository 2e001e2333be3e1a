//! Published check values, from data files: function, inputs, expected, tolerance, source, reason.

use microclimate::bed::Canopy;
use microclimate::cover::Fabric;
use microclimate::draws::soil_resistance_s_m;
use microclimate::saturation::saturation_vapour_pressure_kpa;
use microclimate::surface_layer::stability_factor;
use microclimate::{canopy, convection, sky, soil_properties};
use quantities::moist_air;
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

/// Height, ground cover and leaf size.
fn plants(x: &[f64]) -> Canopy {
    Canopy { height_m: x[0], ground_cover: x[1], leaf_m: x[2], alive: true }
}

fn compute(function: &str, x: &[f64]) -> f64 {
    match function {
        "saturation_vapour_pressure_kpa" => {
            // The members' own exponential must give what the one of the standard library gives.
            let ours = saturation_vapour_pressure_kpa(x[0]);
            assert!((ours / moist_air::saturation_over_water_kpa(x[0]) - 1.0).abs() < 1e-9);
            ours
        }
        "saturation_over_ice_kpa" => moist_air::saturation_over_ice_kpa(x[0]),
        "leaf_boundary_layer" => convection::leaf_boundary_layer(x[0], x[1], x[2]),
        "free_convection_inside" => convection::free_convection_inside(x[0], x[1]),
        "free_convection_above" => convection::free_convection_above(x[0]),
        "convection_outside" => convection::convection_outside(x[0]),
        "stability_factor" => stability_factor(x[0], x[1], x[2]),
        "attenuation" => canopy::attenuation(&plants(x)),
        "held_by_cloth" => canopy::held_by_cloth(&plants(x)),
        "lower_layers" => canopy::lower_layers(&plants(x)),
        "soil_resistance_s_m" => soil_resistance_s_m(x[0]),
        "dew_point_c" => moist_air::dew_point_c(x[0]),
        "frost_point_c" => moist_air::frost_point_c(x[0]),
        "wet_bulb_c" => moist_air::wet_bulb_c(x[0], x[1], x[2]),
        "pressure_kpa" => moist_air::pressure_kpa(x[0]),
        "psychrometric_constant_kpa_k" => moist_air::psychrometric_constant_kpa_k(x[0]),
        "brutsaert" => sky::brutsaert(x[0], x[1]),
        "brunt" => sky::brunt(x[0]),
        "idso_jackson" => sky::idso_jackson(x[0]),
        "prata" => sky::prata(x[0], x[1]),
        "clear_sky_longwave_w_m2" => sky::clear_sky_longwave_w_m2(x[0], x[1]),
        "clear_sky_longwave_over_snow_w_m2" => sky::clear_sky_longwave_over_snow_w_m2(x[0], x[1]),
        "longwave_w_m2" => sky::longwave_w_m2(x[0], x[1], x[2], x[3]),
        "clear_sky_shortwave_w_m2" => sky::clear_sky_shortwave_w_m2(x[0]),
        "cloud_transmissivity" => sky::cloud_transmissivity(x[0]),
        "emissivity_under_cloud" => sky::emissivity_under_cloud(x[0], x[1]),
        "row_cover_transmissivity" => Fabric::row_cover(x[0]).longwave_dry.transmissivity,
        "row_cover_permeability" => Fabric::row_cover(x[0]).permeability_m_s,
        "heat_capacity_mj_m3_k" => soil_properties::heat_capacity_mj_m3_k(x[0], x[1], x[2]),
        "johansen_w_m_k" => soil_properties::johansen_w_m_k(x[0], x[1], x[2], x[3], x[4] > 0.5),
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
