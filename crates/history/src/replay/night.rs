//! One night of one year: what stands, what each cover would leave of it, what was expected of it.

use crate::replay::blocks::Replay;
use crate::replay::drawn_forecast::{ELSE_LOWER_K, Evening, known, quadrature, spread_k};
use crate::replay::nights::{Cold, Left, Response, Table};
use crate::replay::years::{Day, Years};
use evening::harm::share_lost;
use evening::night::PlantingAtRisk;

/// One night of one lane.
pub struct Night<'a> {
    replay: &'a Replay<'a>,
    tables: &'a [Table],
    lane: usize,
    /// The day before it, counted in the block.
    pub d: usize,
    /// That day.
    pub day: &'a Day,
    /// What the evening knew.
    pub evening: Evening,
    /// Row of each kind's table.
    rows: Vec<Option<usize>>,
    /// By bed, what stands.
    pub standing: Vec<Vec<PlantingAtRisk>>,
    /// By bed, whether the night matters to it.
    pub matters: Vec<bool>,
    known: bool,
}

/// How a policy sees a tissue: as it came, or as foreseen with its spread.
#[derive(Clone, Copy)]
pub enum Eyes {
    /// The truth.
    Open,
    /// Expectation over the forecast's error.
    Forecast,
}

impl<'a> Night<'a> {
    /// The night after `day` of a block in a lane, with its row in each kind's table.
    #[must_use]
    pub fn new(
        replay: &'a Replay<'a>,
        weather: &'a Years,
        tables: &'a [Table],
        (d, lane): (usize, usize),
        rows: Vec<Option<usize>>,
    ) -> Self {
        let day = &weather.days[d];
        let known = known(weather, d, lane);
        let standing: Vec<Vec<PlantingAtRisk>> =
            (0..replay.beds.len()).map(|b| replay.standing_stakes(b, day.index)).collect();
        let matters = (0..replay.beds.len())
            .map(|b| {
                let Some(k) = replay.kind_of[b].filter(|_| known && !standing[b].is_empty()) else {
                    return false;
                };
                let cold = f64::from(day.garden_low_c[lane]) < replay.kinds[k].matters_below_c;
                cold && rows[k].is_some()
            })
            .collect();
        let evening = Evening::of(weather, d, lane, replay.seed());
        Self { replay, tables, lane, d, day, evening, rows, standing, matters, known }
    }

    /// Adds bed-nights standing, too warm, unknown.
    pub fn count(&self, counted: &mut [u32; 3]) {
        for b in (0..self.matters.len()).filter(|b| !self.standing[*b].is_empty()) {
            counted[0] += 1;
            counted[1] += u32::from(self.known && !self.matters[b]);
            counted[2] += u32::from(!self.known);
        }
    }

    fn table(&self, bed: usize) -> Option<(&'a Table, usize)> {
        let kind = self.replay.kind_of[bed]?;
        Some((&self.tables[kind], self.rows[kind]?))
    }

    /// Coldest half-hour under a choice (0 is open), without the model's own error, and its answer to the air.
    fn cold(&self, bed: usize, choice: usize) -> Option<(&'a Cold, &'a Response)> {
        let (table, row) = self.table(bed)?;
        let laid = choice
            .checked_sub(1)
            .map_or(Some(0), |c| Some(self.replay.beds[bed].cover.get(c)? + 1))?;
        Some((table.laid.get(laid)?.get(row)?, table.response.get(laid)?))
    }

    fn tissue(&self, stake: &PlantingAtRisk, cold: &Cold) -> f64 {
        f64::from(if stake.in_soil { cold.soil_c[self.lane] } else { cold.tissue_c[self.lane] })
    }

    /// Share of a stake that the night takes under a choice, as it truly came.
    #[must_use]
    pub fn true_share(&self, bed: usize, choice: usize, stake: &PlantingAtRisk) -> f64 {
        self.cold(bed, choice).map_or(0.0, |(cold, _)| {
            share_lost(&stake.limits, self.tissue(stake, cold) + self.evening.model_error_k)
        })
    }

    /// The same under a cover left on since before.
    #[must_use]
    pub fn left_share(&self, bed: usize, choice: usize, stake: &PlantingAtRisk) -> f64 {
        self.left(bed, choice).map_or(0.0, |left| {
            share_lost(&stake.limits, self.tissue(stake, &left.cold) + self.evening.model_error_k)
        })
    }

    /// Hours too hot on the day before under a cover left on.
    #[must_use]
    pub fn heat_h(&self, bed: usize, choice: usize) -> f64 {
        self.left(bed, choice).map_or(0.0, |left| f64::from(left.heat_h[self.lane]))
    }

    fn left(&self, bed: usize, choice: usize) -> Option<&'a Left> {
        let (table, row) = self.table(bed)?;
        table.left.get(*self.replay.beds[bed].cover.get(choice.checked_sub(1)?)?)?.get(row)
    }

    /// Money that a choice adds to what is lost already, seen with `eyes`; `lost` by stake of the bed.
    #[must_use]
    pub fn loss(&self, bed: usize, choice: usize, lost: &dyn Fn(&PlantingAtRisk) -> f64, eyes: Eyes) -> f64 {
        let Some((cold, answer)) = self.cold(bed, choice) else { return 0.0 };
        let of = |stake: &PlantingAtRisk| {
            let gone = lost(stake);
            let more = |t: f64| (share_lost(&stake.limits, t) - gone).max(0.0);
            let came = self.tissue(stake, cold);
            stake.worth
                * match eyes {
                    Eyes::Open => more(came + self.evening.model_error_k),
                    Eyes::Forecast => {
                        let (foreseen, sigma) = self.foreseen(stake, cold, answer);
                        quadrature().iter().map(|(z, w)| w * more(foreseen + sigma * z)).sum()
                    }
                }
        };
        self.standing[bed].iter().map(of).sum()
    }

    /// Coldest tissue of a stake under a choice as the evening foresees it, °C, and its spread, K.
    #[must_use]
    pub fn ensemble(&self, bed: usize, choice: usize, stake: &PlantingAtRisk) -> Option<(f64, f64)> {
        self.cold(bed, choice).map(|(cold, answer)| self.foreseen(stake, cold, answer))
    }

    /// Coldest tissue as the evening foresees it, and its spread, K. The soil answers less, to all that errs.
    fn foreseen(&self, stake: &PlantingAtRisk, cold: &Cold, answer: &Response) -> (f64, f64) {
        let (air, rest) =
            if stake.in_soil { (answer.soil, answer.soil) } else { (answer.mean, 1.0) };
        let error = air * self.evening.air_error_k + rest * self.evening.else_error_k;
        (self.tissue(stake, cold) - error - rest * ELSE_LOWER_K, spread_k(air, rest))
    }
}
