//! One night of one year: what stands, what each cover would leave of it, what was expected of it.

use crate::constants::OTHER_LOWER_K;
use crate::years::batch_weather::{BatchWeather, Day};
use crate::years::drawn_forecast::{DrawnForecast, known, quadrature, spread_k};
use crate::years::night_table::{ColdestTissue, LeftOnNight, NightTable, Response};
use crate::years::simulation::Simulation;
use evening::harm::Cold;
use evening::night::PlantingAtRisk;

/// One night of one lane.
pub struct Night<'a> {
    simulation: &'a Simulation<'a>,
    tables: &'a [NightTable],
    lane: usize,
    /// The day before it, counted in the batch.
    pub d: usize,
    /// That day.
    pub day: &'a Day,
    /// What the evening knew.
    pub evening: DrawnForecast,
    /// Row of each kind's table.
    rows: Vec<Option<usize>>,
    /// By bed, the plantings that cold can harm.
    pub at_risk: Vec<Vec<PlantingAtRisk>>,
    /// By bed, whether the night matters to it.
    pub matters: Vec<bool>,
    known: bool,
}

/// The information that a decision rests on.
#[derive(Clone, Copy)]
pub enum Information {
    /// The night as it came.
    Perfect,
    /// Expectation over the forecast's error.
    Forecast,
}

impl<'a> Night<'a> {
    /// The night after `day` of a batch in a lane, with its row in each kind's table, what stands in each bed
    /// and what its evening knew.
    ///
    /// It matters to a bed when it came cold enough, or was foreseen to.
    #[must_use]
    pub fn new(
        simulation: &'a Simulation<'a>,
        weather: &'a BatchWeather,
        tables: &'a [NightTable],
        (d, lane): (usize, usize),
        (rows, at_risk): (Vec<Option<usize>>, Vec<Vec<PlantingAtRisk>>),
        evening: DrawnForecast,
    ) -> Self {
        let day = &weather.days[d];
        let known = known(weather, d, lane);
        let matters = (0..simulation.beds.len())
            .map(|b| {
                let Some(k) = simulation.kind_of[b].filter(|_| known && !at_risk[b].is_empty())
                else {
                    return false;
                };
                let low = f64::from(day.garden_low_c[lane]);
                let least = low.min(low - evening.air_error_k);
                let cold = least < simulation.kinds[k].matters_below_c;
                cold && rows[k].is_some()
            })
            .collect();
        Self { simulation, tables, lane, d, day, evening, rows, at_risk, matters, known }
    }

    /// Adds bed-nights standing, too warm, unknown.
    pub fn count(&self, counted: &mut [u32; 3]) {
        for b in (0..self.matters.len()).filter(|b| !self.at_risk[*b].is_empty()) {
            counted[0] += 1;
            counted[1] += u32::from(self.known && !self.matters[b]);
            counted[2] += u32::from(!self.known);
        }
    }

    fn table(&self, bed: usize) -> Option<(&'a NightTable, usize)> {
        let kind = self.simulation.kind_of[bed]?;
        Some((&self.tables[kind], self.rows[kind]?))
    }

    /// Coldest half-hour under a choice (0 is open), without the model's own error, and its answer to the air.
    fn cold(&self, bed: usize, choice: usize) -> Option<(&'a ColdestTissue, &'a Response)> {
        let (table, row) = self.table(bed)?;
        let laid = choice
            .checked_sub(1)
            .map_or(Some(0), |c| Some(self.simulation.beds[bed].cover.get(c)? + 1))?;
        Some((table.laid.get(laid)?.get(row)?, table.response.get(laid)?))
    }

    fn tissue(&self, planting: &PlantingAtRisk, cold: &ColdestTissue) -> f64 {
        f64::from(if planting.in_soil { cold.soil_c[self.lane] } else { cold.tissue_c[self.lane] })
    }

    /// Share that a night takes of a planting with all of it `k` warmer than computed.
    fn share(&self, planting: &PlantingAtRisk, cold: &ColdestTissue, k: f64) -> f64 {
        let lane = self.lane;
        let half_hour_c = self.tissue(planting, cold) + k;
        let long_c = if planting.in_soil { half_hour_c } else { f64::from(cold.long_c[lane]) + k };
        let chill_k_h = f64::from(cold.chill_k_h[lane]) - k * f64::from(cold.chill_h[lane]);
        planting.share(&Cold { half_hour_c, long_c, chill_k_h: chill_k_h.max(0.0) })
    }

    /// How much warmer a planting's tissue truly came than computed, K: what was not foreseen.
    fn unforeseen_k(&self, planting: &PlantingAtRisk, answer: &Response) -> f64 {
        let (_, rest) = answers(planting, answer);
        rest * self.evening.other_error_k + self.evening.model_error_k
    }

    /// Share of a planting that the night takes under a choice, as it truly came.
    #[must_use]
    pub fn true_share(&self, bed: usize, choice: usize, planting: &PlantingAtRisk) -> f64 {
        self.cold(bed, choice).map_or(0.0, |(cold, answer)| {
            self.share(planting, cold, self.unforeseen_k(planting, answer))
        })
    }

    /// The same under a cover left on since before.
    #[must_use]
    pub fn left_share(&self, bed: usize, choice: usize, planting: &PlantingAtRisk) -> f64 {
        let answer = self.cold(bed, choice).map(|c| c.1);
        self.left(bed, choice).zip(answer).map_or(0.0, |(left, answer)| {
            self.share(planting, &left.cold, self.unforeseen_k(planting, answer))
        })
    }

    /// Whether something stands on a bed that cold could harm, on a night whose weather is known.
    #[must_use]
    pub fn stands(&self, bed: usize) -> bool {
        self.known && !self.at_risk[bed].is_empty()
    }

    /// What the light costs that a choice keeps back for a share of a day, money.
    #[must_use]
    pub fn dimness(&self, bed: usize, choice: usize, share: f64) -> f64 {
        let choices = &self.simulation.beds[bed];
        let Some(days) = choice.checked_sub(1).and_then(|c| choices.day_under.get(c)) else {
            return 0.0;
        };
        let here = |p: &PlantingAtRisk| self.at_risk[bed].iter().any(|s| s.planting == p.planting);
        let day: f64 = choices.at_risk.iter().zip(days).filter(|x| here(x.0)).map(|x| x.1).sum();
        day * share
    }

    /// Hours too hot on the day before under a cover left on.
    #[must_use]
    pub fn heat_h(&self, bed: usize, choice: usize) -> f64 {
        self.left(bed, choice).map_or(0.0, |left| f64::from(left.heat_h[self.lane]))
    }

    fn left(&self, bed: usize, choice: usize) -> Option<&'a LeftOnNight> {
        let (table, row) = self.table(bed)?;
        table.left.get(*self.simulation.beds[bed].cover.get(choice.checked_sub(1)?)?)?.get(row)
    }

    /// Money that a choice adds to what is lost already, by this information; `lost` by planting of the bed.
    #[must_use]
    pub fn loss(
        &self,
        bed: usize,
        choice: usize,
        lost: &dyn Fn(&PlantingAtRisk) -> f64,
        information: Information,
    ) -> f64 {
        let Some((cold, answer)) = self.cold(bed, choice) else { return 0.0 };
        let of = |planting: &PlantingAtRisk| {
            let gone = lost(planting);
            let more = |k: f64| (self.share(planting, cold, k) - gone).max(0.0);
            planting.worth
                * match information {
                    Information::Perfect => more(self.unforeseen_k(planting, answer)),
                    Information::Forecast => {
                        let (foreseen, sigma) = self.foreseen(planting, cold, answer, 0);
                        let warmer = foreseen - self.tissue(planting, cold);
                        quadrature().iter().map(|(z, w)| w * more(warmer + sigma * z)).sum()
                    }
                }
        };
        self.at_risk[bed].iter().map(of).sum()
    }

    /// Share of a planting that a night like this one takes with the forecast low of so many nights `ahead`, by how many standard
    /// deviations it comes warmer than foreseen, under a choice laid that evening or left on since the one before.
    #[must_use]
    pub fn share_ahead(
        &self,
        bed: usize,
        choice: usize,
        planting: &PlantingAtRisk,
        (left, ahead): (bool, usize),
    ) -> Option<impl Fn(f64) -> f64> {
        let (laid, answer) = self.cold(bed, choice)?;
        let cold = match self.left(bed, choice).filter(|_| left) {
            Some(on) => &on.cold,
            None => laid,
        };
        let (foreseen, sigma) = self.foreseen(planting, cold, answer, ahead);
        let warmer = foreseen - self.tissue(planting, cold);
        Some(move |z: f64| self.share(planting, cold, warmer + z * sigma))
    }

    /// How cold the night came against its forecast, in standard deviations of all that errs.
    #[must_use]
    pub fn surprise(&self) -> f64 {
        self.evening.air_error_k / spread_k(1.0, 1.0, 0)
    }

    /// Coldest tissue of a planting under a choice as the evening foresees it, °C, and its spread, K.
    #[must_use]
    pub fn forecast_tissue(
        &self,
        bed: usize,
        choice: usize,
        planting: &PlantingAtRisk,
    ) -> Option<(f64, f64)> {
        self.cold(bed, choice).map(|(cold, answer)| self.foreseen(planting, cold, answer, 0))
    }

    /// Coldest tissue as the evening foresees it, and its spread, K: the night computed in the air that is forecast for so
    /// many nights `ahead`.
    fn foreseen(
        &self,
        planting: &PlantingAtRisk,
        cold: &ColdestTissue,
        answer: &Response,
        ahead: usize,
    ) -> (f64, f64) {
        let (air, rest) = answers(planting, answer);
        let later_k = self.evening.forecast_c[ahead] - self.evening.forecast_c[0];
        let computed = self.tissue(planting, cold) - air * (self.evening.air_error_k - later_k);
        (computed - rest * OTHER_LOWER_K, spread_k(air, rest, ahead))
    }
}

/// How a planting's coldest tissue answers to the air and to what else errs, K per K. The soil answers less, to both.
fn answers(planting: &PlantingAtRisk, answer: &Response) -> (f64, f64) {
    if planting.in_soil { (answer.soil, answer.soil) } else { (answer.mean, 1.0) }
}
