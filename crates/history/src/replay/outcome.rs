//! What each policy made of a year.

use crate::years::RunStats;

/// What one policy made of one year.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SeasonResult {
    /// Money lost to cold.
    pub loss: f64,
    /// Money of the work.
    pub labour: f64,
    /// Money of the light that covers kept back.
    pub dimness: f64,
    /// Evenings with work.
    pub evenings: u32,
    /// Person-minutes of them.
    pub minutes: f64,
    /// Light lost, whole days of light summed over beds.
    pub light_days: f64,
    /// Hours with the air under a left-on cover above the heat limit, summed over beds.
    pub heat_h: f64,
    /// Nights on which a bed stayed open or thinly covered for want of sheets, pins or minutes.
    pub short_nights: u32,
}

impl SeasonResult {
    /// Loss, labour and light.
    #[must_use]
    pub fn cost(&self) -> f64 {
        self.loss_and_labour() + self.dimness
    }

    /// What the evening plan weighs: it opens every morning and leaves light aside.
    #[must_use]
    pub fn loss_and_labour(&self) -> f64 {
        self.loss + self.labour
    }
}

/// One year with the errors of one draw.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnYear {
    /// By policy, in the order of [`crate::replay::POLICIES`].
    pub results: Vec<SeasonResult>,
    /// Less than this no policy can cost: sheets and minutes without end, all known, covers free to lie on.
    pub bound: f64,
}

/// One year of all policies.
#[derive(Clone, Debug, PartialEq)]
pub struct Year {
    /// The year.
    pub year: i16,
    /// By draw of the errors.
    pub draws: Vec<DrawnYear>,
    /// Bed-nights that stood, were too warm to matter, and whose weather is not known, by the first draw.
    pub counted: [u32; 3],
}

impl Year {
    /// Mean over the draws of what `of` takes from one; 0 without draws.
    #[must_use]
    pub fn mean(&self, of: impl Fn(&DrawnYear) -> f64) -> f64 {
        self.draws.iter().map(of).sum::<f64>() / self.draws.len().max(1) as f64
    }
}

/// A batch of up to sixteen replayed years.
#[derive(Clone, Debug, PartialEq)]
pub struct YearBatch {
    /// Its years.
    pub years: Vec<Year>,
    /// Steps run and greatest budget residual.
    pub stats: RunStats,
}
