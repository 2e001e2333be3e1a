//! From the coldest half-hour of tissue to the share of a planting lost.

use garden::crops::ColdLimits;

/// Share lost at a tissue temperature held for half an hour: logistic through T10 and T90.
///
/// f = 1/(1 + exp[k (T − T50)]), k = ln 81/(T10 − T90), T50 = (T10 + T90)/2; T in °C.
/// Apple in full bloom (28/25 °F): T50 −3.06 °C, k 2.637 per K.
/// Checked by `harm::the_worked_logistic_example_is_met`.
/// Equation 20 of docs/science.md.
#[must_use]
pub fn share_lost(limits: &ColdLimits, tissue_c: f64) -> f64 {
    let middle = 0.5 * (limits.t10_c + limits.t90_c);
    1.0 / (1.0 + (steepness(limits) * (tissue_c - middle)).exp())
}

/// k = ln 81/(T10 − T90), per K.
#[must_use]
pub fn steepness(limits: &ColdLimits) -> f64 {
    81.0_f64.ln() / (limits.t10_c - limits.t90_c).max(0.1)
}

/// Running means over half an hour: three steps of ten minutes.
#[derive(Clone, Copy, Debug)]
pub struct HalfHour<R> {
    last: [R; 2],
    seen: u32,
    /// Coldest half-hour so far.
    pub coldest: R,
}

impl<R: microclimate::real::Real> HalfHour<R> {
    /// Nothing seen yet.
    #[must_use]
    pub fn new() -> Self {
        Self { last: [R::splat(0.0); 2], seen: 0, coldest: R::splat(99.0) }
    }

    /// Takes one more step; returns the mean of the last half-hour once there is one.
    pub fn push(&mut self, now: R) -> R {
        let mean = (self.last[0] + self.last[1] + now) / 3.0;
        self.last = [self.last[1], now];
        self.seen += 1;
        if self.seen >= 3 {
            self.coldest = self.coldest.min(mean);
        }
        mean
    }
}

impl<R: microclimate::real::Real> Default for HalfHour<R> {
    fn default() -> Self {
        Self::new()
    }
}
