//! Where the sun is, against a published example and the handbook.

use quantities::{Moment, Place, sun};

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
