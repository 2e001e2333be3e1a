//! The temperature between one sunrise and the next from a minimum, a maximum and the next minimum.

use std::f64::consts::FRAC_PI_2;

use crate::constants::{FALL_BY_SUNSET, LEAST_STRETCH_H, MAX_BEFORE_SUNSET_H};

/// One day from sunrise to sunrise; times in hours on any common clock.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiurnalCurve {
    /// Sunrise.
    pub sunrise_h: f64,
    /// Sunset.
    pub sunset_h: f64,
    /// The next sunrise.
    pub next_sunrise_h: f64,
    /// Minimum at sunrise, °C.
    pub min_c: f64,
    /// Maximum of the day, °C.
    pub max_c: f64,
    /// Minimum at the next sunrise, °C.
    pub next_min_c: f64,
}

impl DiurnalCurve {
    /// Temperature at `t_h` between the sunrises, °C; held at the ends outside.
    ///
    /// Morning T = Tn + (Tx − Tn) sin[π/2 · (t − tr)/(tx − tr)], afternoon T = To + (Tx − To) sin[π/2 + π/2 · (t − tx)/4],
    /// night T = To + b (t − ts)^p with To = Tx − 0.39 (Tx − Tn′), b = (Tn′ − To)/(tr′ − ts)^p, tx = ts − 4 h; p = ½ in
    /// the source. Days shorter than 8 h have the maximum at noon.
    /// Source: Cesaraccio et al. 2001, International Journal of Biometeorology 45:161.
    /// Checked by `hours::the_published_curve`.
    /// Equation 42 of docs/science.md.
    #[must_use]
    pub fn temperature_c(&self, t_h: f64, power: f64) -> f64 {
        let day_h = self.sunset_h - self.sunrise_h;
        let before = MAX_BEFORE_SUNSET_H.min(day_h / 2.0).max(LEAST_STRETCH_H);
        let peak_h = self.sunset_h - before;
        let at_sunset = self.max_c - FALL_BY_SUNSET * (self.max_c - self.next_min_c);
        if t_h <= peak_h {
            let share =
                ((t_h - self.sunrise_h) / (peak_h - self.sunrise_h).max(LEAST_STRETCH_H)).max(0.0);
            self.min_c + (self.max_c - self.min_c) * (FRAC_PI_2 * share).sin()
        } else if t_h < self.sunset_h {
            let share = (t_h - peak_h) / before;
            at_sunset + (self.max_c - at_sunset) * (FRAC_PI_2 * share).cos()
        } else {
            let night_h = (self.next_sunrise_h - self.sunset_h).max(LEAST_STRETCH_H);
            let share = ((t_h - self.sunset_h) / night_h).min(1.0);
            at_sunset + (self.next_min_c - at_sunset) * share.powf(power)
        }
    }
}
