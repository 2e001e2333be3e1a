//! Checks of the shared vocabulary against outside facts.

mod daylight;
mod quantile;
mod sun;

use quantities::{Interval, Moment, Place, units};

/// Exact definitions: 32 °F = 0 °C, 212 °F = 100 °C, −40 is −40 (definition of the scales).
#[test]
fn fahrenheit_and_celsius_meet_where_they_are_defined_to() {
    for (f, c) in [(32.0, 0.0), (212.0, 100.0), (-40.0, -40.0), (28.0, -20.0 / 9.0)] {
        assert!((units::celsius_from_fahrenheit(f) - c).abs() < 1e-12);
        assert!((units::fahrenheit_from_celsius(c) - f).abs() < 1e-12);
    }
}

/// 1 oz/yd² is 33.91 g/m² (international avoirdupois ounce and yard, 1959 definitions).
#[test]
fn cloth_weights_convert_by_the_yard_and_ounce_of_1959() {
    assert!((units::OZ_PER_YD2_G_M2 - 33.906).abs() < 1e-3);
}

/// Julian date of 2003-10-17 19:30:30 UT is 2452930.312847 (Reda & Andreas 2003, NREL SPA, Table A5.1).
#[test]
fn julian_date_matches_the_published_solar_position_example() {
    let moment = Moment(1_066_419_030);
    assert!((moment.julian_date() - 2_452_930.312_847).abs() < 1e-6);
}

/// One degree of latitude on a sphere of 6371 km is 111.195 km (geometry).
#[test]
fn a_degree_of_latitude_has_its_length() {
    let a = Place { latitude_deg: 43.0, longitude_deg: -90.0, elevation_m: 0.0 };
    let b = Place { latitude_deg: 44.0, ..a };
    assert!((a.distance_km(&b) - 111.195).abs() < 1e-3);
}

#[test]
fn an_interval_holds_its_start_and_not_its_end() {
    let hour = Interval::hour_from(Moment(7200));
    assert!(hour.contains(Moment(7200)) && hour.contains(Moment(10_799)));
    assert!(!hour.contains(Moment(10_800)));
    assert_eq!(Moment(-1).floor_hour(), Moment(-3600));
}
