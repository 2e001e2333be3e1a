//! Where a garden or a forecast is.

use crate::constants::EARTH_RADIUS_KM;

/// A point on the Earth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Degrees north of the equator, −90 to 90.
    pub latitude_deg: f64,
    /// Degrees east of Greenwich, −180 to 180.
    pub longitude_deg: f64,
    /// Metres above sea level.
    pub elevation_m: f64,
}

impl Place {
    /// Great-circle distance to `other` in kilometres on a sphere of radius 6371 km (haversine formula).
    #[must_use]
    pub fn distance_km(&self, other: &Self) -> f64 {
        let (a, b) = (self.latitude_deg.to_radians(), other.latitude_deg.to_radians());
        let half_lat = (b - a) / 2.0;
        let half_lon = (other.longitude_deg - self.longitude_deg).to_radians() / 2.0;
        let h = half_lat.sin().powi(2) + a.cos() * b.cos() * half_lon.sin().powi(2);
        2.0 * EARTH_RADIUS_KM * h.sqrt().min(1.0).asin()
    }
}
