//! Where the sun is: NREL's algorithm by the `solar-positioning` crate, wrapped in one place.
//!
//! Sunrise and civil dusk are [`crate::constants::SUNRISE_ALTITUDE_DEG`] and
//! [`crate::constants::CIVIL_DUSK_ALTITUDE_DEG`]. Checked by `sun::the_published_solar_position_example` (Reda & Andreas 2004, table A5.1).

use solar_positioning::{Location, SolarPositions, time::JulianDate};

use crate::constants::DELTA_T_S;
use crate::{Moment, Place};

/// Position of the sun.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunPosition {
    /// From the vertical, degrees, without refraction.
    pub zenith_deg: f64,
    /// From north by east, degrees.
    pub azimuth_deg: f64,
}

/// Position of the sun over `place` at `at`; `None` for a place off the globe.
/// Equation 9 of docs/science.md.
#[must_use]
pub fn position(place: &Place, at: Moment) -> Option<SunPosition> {
    position_at(place, at.julian_date(), DELTA_T_S)
}

/// The same for a Julian date and a given TT − UT.
#[must_use]
pub fn position_at(place: &Place, julian_date: f64, delta_t_s: f64) -> Option<SunPosition> {
    let jd = JulianDate::new(julian_date, delta_t_s).ok()?;
    let here = Location { latitude: place.latitude_deg, longitude: place.longitude_deg };
    let p = SolarPositions::new().at_from_julian(jd, here, place.elevation_m, None).ok()?;
    Some(SunPosition { zenith_deg: p.zenith_angle(), azimuth_deg: p.azimuth() })
}

/// The first moment from `from`, within a day and a half, when the sun passes `altitude_deg` falling or rising.
#[must_use]
pub fn next_crossing(
    place: &Place,
    from: Moment,
    altitude_deg: f64,
    falling: bool,
) -> Option<Moment> {
    let above = |at: Moment| Some(90.0 - position(place, at)?.zenith_deg > altitude_deg);
    let mut before = above(from)?;
    for k in 1..=216 {
        let at = from.plus_seconds(600 * k);
        let now = above(at)?;
        if before == falling && now != falling {
            let (mut low, mut high) = (at.plus_seconds(-600), at);
            while high.0 - low.0 > 1 {
                let middle = Moment(low.0.midpoint(high.0));
                if above(middle)? == falling {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            return Some(high);
        }
        before = now;
    }
    None
}
