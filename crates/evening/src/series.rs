//! A forecast quantity as a line through its readings, looked up at any moment.

use quantities::{Meaning, Moment, Reading, WeatherHour};

/// Readings at moments: the start of the hour for values at an instant, the middle for means.
#[derive(Clone, Debug, Default)]
pub struct Series {
    points: Vec<(i64, f64)>,
}

impl Series {
    /// The readings of one quantity.
    pub fn from_hours(
        hours: &[WeatherHour],
        quantity: impl Fn(&WeatherHour) -> Option<Reading>,
    ) -> Self {
        let points = hours
            .iter()
            .filter_map(|h| {
                let r = quantity(h)?;
                let at = match r.meaning {
                    Meaning::AtStart => h.interval.start,
                    _ => h.interval.middle(),
                };
                Some((at.0, r.value))
            })
            .collect();
        Self { points }
    }

    /// Whether there is no reading at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.points.is_empty()
    }

    /// Value at a moment on the straight line between readings; the nearest one outside.
    #[must_use]
    pub fn at(&self, moment: Moment) -> Option<f64> {
        let i = self.points.partition_point(|p| p.0 <= moment.0);
        match (i.checked_sub(1).and_then(|k| self.points.get(k)), self.points.get(i)) {
            (Some(a), Some(b)) => {
                let share = (moment.0 - a.0) as f64 / (b.0 - a.0) as f64;
                Some(a.1 + (b.1 - a.1) * share)
            }
            (Some(a), None) => Some(a.1),
            (None, Some(b)) => Some(b.1),
            (None, None) => None,
        }
    }

    /// Longest stretch without a reading between two moments, hours.
    #[must_use]
    pub fn longest_gap_h(&self, from: Moment, to: Moment) -> i64 {
        let inside = self.points.iter().map(|p| p.0).filter(|t| (from.0..=to.0).contains(t));
        let mut last = from.0;
        let mut gap = 0;
        for t in inside.chain(std::iter::once(to.0)) {
            gap = gap.max(t - last);
            last = t;
        }
        gap / 3600
    }
}
