//! What is known of this garden beyond its forecast: lessons of past nights, and readings of this evening.

use learning::cover::CoverLesson;
use learning::{Lessons, Prior};
use quantities::Moment;

use garden::fit::{Cover, Item};
use garden::garden::Site;

use crate::priors;

/// The air in the open, read this evening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirNow {
    /// When.
    pub at: Moment,
    /// °C.
    pub celsius: f64,
}

/// What is known of this garden beyond its forecast; nothing by default.
#[derive(Clone, Copy, Debug, Default)]
pub struct Learned<'a> {
    /// Lessons of past nights.
    pub lessons: Option<&'a Lessons>,
    /// Readings of this evening, in the order of time.
    pub evening: &'a [AirNow],
    /// What readings under covers teach, by the place of the sheet or pop-up tunnel in the stock.
    pub covers: &'a [(Item, CoverLesson)],
    /// How far apart the forecasts are of which the mean is taken, K.
    pub disagreement_k: f64,
}

impl Learned<'_> {
    /// What was taught of the sheet or pop-up tunnel that a cover is of, in one layer.
    #[must_use]
    pub fn cover(&self, cover: &Cover) -> Option<&CoverLesson> {
        let taught = |item: &Item| self.covers.iter().find(|c| c.0 == *item).map(|c| &c.1);
        cover.uses.iter().find_map(|u| taught(&u.0)).filter(|_| cover.layers == 1)
    }

    /// What of it was known at a moment: no later readings.
    #[must_use]
    pub fn as_of(&self, at: Moment) -> Self {
        let read = self.evening.iter().take_while(|r| r.at <= at).count();
        Self { evening: &self.evening[..read], ..*self }
    }
}

/// What is believed of a garden before its first reading, from how it lies.
#[must_use]
pub fn prior(site: &Site) -> Prior {
    let (clear_k, clear_sigma_k) = priors::cold_spot_k(site);
    Prior { clear_k, clear_sigma_k }
}

/// The number of a night in days, for [`learning::Night::day`].
#[must_use]
pub fn day_number(sunset: Moment) -> f64 {
    sunset.0 as f64 / 86_400.0
}

/// How much of a cold spot shows on a night of mean `cloud` (0 to 1) and `wind_m_s`: (1 − c)/(1 + (u/2)²), from memory; where
/// the forecast is silent, half cloud and 1.5 m/s stand in.
///
/// Equation 81 of docs/science.md.
#[must_use]
pub fn clearness(cloud: Option<f64>, wind_m_s: Option<f64>) -> f64 {
    (1.0 - cloud.unwrap_or(0.5)) / (1.0 + (0.5 * wind_m_s.unwrap_or(1.5)).powi(2))
}
