//! Whether the warm half of a record's year is that of a latitude.

use jiff::civil::Date;

use super::record::StationRecord;

/// Nearer to the equator than this, degrees, seasons tell nothing (common practice, no source: the tropics end at 23.4).
const TROPICS_DEG: f64 = 23.4;
/// Seasons that differ by less than this, K, tell nothing (chosen).
const LEAST_DIFFERENCE_K: f64 = 3.0;

impl StationRecord {
    /// Mean minimum of July less that of January, K, where it is of the wrong sign for a latitude, degrees north; `None`
    /// where the seasons fit or cannot tell.
    ///
    /// Checked by `station::seasons_turned_against_the_latitude_are_seen`.
    #[must_use]
    pub fn turned_against(&self, latitude_deg: f64) -> Option<f64> {
        let mean = |month: i8| {
            let of_month = |d: Date| d.month() == month;
            let minima = self.days().filter(|d| of_month(d.date)).filter_map(|d| d.tmin_c);
            let (sum, n) = minima.fold((0.0, 0_u32), |(s, n), t| (s + t, n + 1));
            (n > 0).then(|| sum / f64::from(n))
        };
        let warmer = mean(7)? - mean(1)?;
        let clear = latitude_deg.abs() > TROPICS_DEG && warmer.abs() >= LEAST_DIFFERENCE_K;
        (clear && warmer.signum() != latitude_deg.signum()).then_some(warmer)
    }
}
