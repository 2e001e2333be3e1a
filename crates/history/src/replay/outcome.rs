//! What each policy made of a year.

use crate::years::RunStats;

/// What one policy made of one year.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SeasonResult {
    /// Money lost to cold.
    pub loss: f64,
    /// Money of the work.
    pub labour: f64,
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
    /// Loss and labour.
    #[must_use]
    pub fn cost(&self) -> f64 {
        self.loss + self.labour
    }
}

/// One year of all policies.
#[derive(Clone, Debug, PartialEq)]
pub struct Year {
    /// The year.
    pub year: i16,
    /// By policy, in the order of [`crate::replay::POLICIES`].
    pub results: Vec<SeasonResult>,
    /// The least that loss and labour can be with sheets and minutes without end, all known.
    pub bound: f64,
    /// Bed-nights that stood, were too warm to matter, and whose weather is not known.
    pub counted: [u32; 3],
}

/// A batch of up to sixteen replayed years.
#[derive(Clone, Debug, PartialEq)]
pub struct YearBatch {
    /// Its years.
    pub years: Vec<Year>,
    /// Steps run and greatest budget residual.
    pub stats: RunStats,
}
