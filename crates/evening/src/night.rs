//! Every cover tried on every bed through every possible night.

use garden::bed::Bed as GardenBed;
use garden::crops::{ColdLimits, cold_limits};
use garden::fit::{Cover as Fit, covers};
use garden::garden::Garden;
use microclimate::cover::Cover;
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::real::Real;
use microclimate::soil::{CELLS, Column};
use microclimate::{Bed, Forcing, Site, State, column, parameters::STEP_S, step};
use quantities::Moment;
use rayon::prelude::*;

use crate::ensemble::{Ensemble, at_step};
use crate::error::Error;
use crate::harm::{HalfHour, share_lost};
use crate::physics;
use crate::priors;
use crate::report::{Course, Outcome, Spread};

/// Steps in half an hour.
pub const STEPS_A_HALF_HOUR: usize = 3;

/// When things happen, in steps from the moment of asking.
#[derive(Clone, Copy, Debug)]
pub struct NightSteps {
    /// The moment of asking.
    pub start: Moment,
    /// Covers go on.
    pub cover: usize,
    /// The night's books close.
    pub end: usize,
}

/// One bed with everything that can be put over it.
pub struct BedSimulation<'a> {
    /// The bed of the garden.
    pub garden_bed: &'a GardenBed,
    /// The bed as physics.
    pub bed: Bed,
    /// Its soil for the eight classes of wetness.
    pub column: Column<Lanes>,
    /// Covers that fit.
    pub fits: Vec<Fit>,
    /// Cold limits of its plantings, with worth, and whether the tissue is in the soil.
    pub stakes: Vec<Stake>,
}

/// One planting's stake.
#[derive(Clone, Copy, Debug)]
pub struct Stake {
    /// Index into the bed's plantings.
    pub planting: usize,
    /// Its limits.
    pub limits: ColdLimits,
    /// Money.
    pub worth: f64,
    /// Whether its tissue is in the soil.
    pub in_soil: bool,
}

/// Coldest half-hours of one bed under one cover, member by member.
#[derive(Clone, Debug)]
pub struct Coldest {
    /// Most exposed tissue above ground, °C.
    pub tissue: Vec<f64>,
    /// Air among the plants, °C.
    pub air: Vec<f64>,
    /// Soil at 2 cm, °C.
    pub soil: Vec<f64>,
    /// Mean over members of the running half-hour tissue, by step, °C.
    pub course: Vec<f64>,
    /// What can be harmed (leaf, or soil at 2 cm where all of it is in the soil), half-hour by half-hour, each member, °C.
    pub half_hours: Vec<Vec<f32>>,
    /// Greatest budget residual, W/m².
    pub residual: f64,
}

impl<'a> BedSimulation<'a> {
    /// A bed ready to be tried.
    #[must_use]
    pub fn new(garden: &Garden, garden_bed: &'a GardenBed, wind_height_m: f64) -> Self {
        let bed = physics::bed(garden, garden_bed, wind_height_m);
        let column = column::build(&bed, &priors::central(&garden.site, garden_bed.wetness));
        let stakes = garden_bed
            .plantings
            .iter()
            .enumerate()
            .filter_map(|(planting, p)| {
                let limits = cold_limits(p.crop, p.stage, p.hardened)?;
                let in_soil = physics::in_soil(p.stage);
                Some(Stake { planting, limits, worth: p.worth, in_soil })
            })
            .collect();
        Self { garden_bed, bed, column, fits: covers(garden, garden_bed), stakes }
    }

    /// Brings soil and air to the moment of asking through the days before, for the eight classes of wetness.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn spin_up(
        &self,
        garden: &Garden,
        before: &[Forcing<Lanes>],
    ) -> Result<State<Lanes>, Error> {
        let mean =
            before.iter().fold(Lanes::of(0.0), |s, f| s + f.air_c) / before.len().max(1) as f64;
        let first = before.first().map_or(Lanes::of(0.8), |f| f.vapour_kpa);
        let mut state = State::resting(mean, first, [mean; CELLS]);
        let draws = priors::central(&garden.site, self.garden_bed.wetness);
        let left = self.left_on();
        let site =
            Site { bed: &self.bed, cover: left.as_ref(), column: &self.column, draws: &draws };
        for force in before {
            step(&site, force, &mut state).map_err(|error| self.failed(error))?;
        }
        Ok(state)
    }

    /// The cover that has lain over the bed by day, if any.
    #[must_use]
    pub fn left_on(&self) -> Option<Cover> {
        let on = self.garden_bed.on_now.filter(|on| on.left_on)?;
        self.fits
            .iter()
            .find(|f| {
                f.uses.iter().any(|u| u.0 == garden::fit::Item::Sheet(on.sheet))
                    && f.layers == on.layers
            })
            .map(|f| physics::cover(f, self.garden_bed))
    }

    fn failed(&self, error: microclimate::Error) -> Error {
        Error::Physics { bed: self.garden_bed.name.clone(), error }
    }

    /// Runs every block from the moment of asking to the moment covers go on, open.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn evening(
        &self,
        garden: &Garden,
        ensemble: &Ensemble,
        spun: &State<Lanes>,
        soil_sigma_k: f64,
        steps: &NightSteps,
    ) -> Result<Vec<State<Lanes>>, Error> {
        let left = self.left_on();
        (0..ensemble.forcing.len())
            .into_par_iter()
            .map(|block| {
                let draws = ensemble.draws(block, &garden.site, self.garden_bed.wetness);
                let site = Site {
                    bed: &self.bed,
                    cover: left.as_ref(),
                    column: &self.column,
                    draws: &draws,
                };
                let mut state = *spun;
                let shift = ensemble.soil_shift_k(block, soil_sigma_k);
                for t in &mut state.soil.temperature_c {
                    *t += shift;
                }
                for force in &ensemble.forcing[block][..steps.cover] {
                    step(&site, force, &mut state).map_err(|error| self.failed(error))?;
                }
                Ok(state)
            })
            .collect()
    }

    /// Runs the night from the evening's states under `cover`.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn night(
        &self,
        garden: &Garden,
        ensemble: &Ensemble,
        evening: &[State<Lanes>],
        cover: Option<&Cover>,
        steps: &NightSteps,
    ) -> Result<Coldest, Error> {
        let near_2_cm = column::depths_m(&self.bed)
            .iter()
            .enumerate()
            .min_by(|a, b| (a.1 - 0.02).abs().total_cmp(&(b.1 - 0.02).abs()))
            .map_or(0, |d| d.0);
        let blocks: Vec<Block> = (0..evening.len())
            .into_par_iter()
            .map(|block| {
                let draws = ensemble.draws(block, &garden.site, self.garden_bed.wetness);
                let site = Site { bed: &self.bed, cover, column: &self.column, draws: &draws };
                let forcing = &ensemble.forcing[block][steps.cover..steps.end];
                let mut state = evening[block];
                if let Some(first) = forcing.first().filter(|_| cover.is_some()) {
                    state = state.just_covered(first.air_c);
                }
                let off = ensemble.model_error_k(block);
                let in_soil = self.all_in_soil();
                let mut out = Block::default();
                for (k, force) in forcing.iter().enumerate() {
                    let fluxes = step(&site, force, &mut state).map_err(|e| self.failed(e))?;
                    out.residual = out.residual.max(fluxes.residual_w_m2);
                    let tissue = out.tissue.push(state.tissue_c(&self.bed, cover) + off);
                    out.course.push(mean(tissue));
                    out.air.push(state.air_c + off);
                    let soil = out.soil.push(state.soil.temperature_c[near_2_cm] + off);
                    if k % STEPS_A_HALF_HOUR == STEPS_A_HALF_HOUR - 1 {
                        out.half_hours.push(if in_soil { soil } else { tissue });
                    }
                }
                Ok(out)
            })
            .collect::<Result<_, Error>>()?;
        Ok(gather(&blocks))
    }

    /// Expected loss, chance of harm and the spread of temperatures.
    #[must_use]
    pub fn outcome(&self, coldest: &Coldest, steps: &NightSteps) -> Outcome {
        let members = coldest.tissue.len().max(1) as f64;
        let of = |s: &Stake, m: usize| if s.in_soil { coldest.soil[m] } else { coldest.tissue[m] };
        let mut loss = 0.0;
        let mut chance: f64 = 0.0;
        for stake in &self.stakes {
            let each = (0..coldest.tissue.len()).map(|m| of(stake, m));
            loss += stake.worth * each.clone().map(|t| share_lost(&stake.limits, t)).sum::<f64>()
                / members;
            let harmed = each.filter(|t| *t <= stake.limits.t10_c).count() as f64 / members;
            chance = chance.max(harmed);
        }
        let shown = self.most_at_risk(coldest);
        let soil = shown.is_some_and(|s| s.in_soil);
        let limit = shown.map_or(f64::NEG_INFINITY, |s| s.limits.t10_c);
        // The first two steps are not yet a half-hour.
        let reached = coldest.course.iter().skip(2).position(|t| *t <= limit).filter(|_| !soil);
        Outcome {
            leaf_low_c: spread(if soil { &coldest.soil } else { &coldest.tissue }),
            air_low_c: spread(&coldest.air),
            chance_of_harm: chance,
            expected_loss: loss,
            reaches_limit_at: reached.map(|k| at_step(steps.start, steps.cover + k + 2)),
        }
    }

    /// Whether everything that can be harmed here is in the soil.
    #[must_use]
    pub fn all_in_soil(&self) -> bool {
        !self.stakes.is_empty() && self.stakes.iter().all(|s| s.in_soil)
    }

    /// The stake that loses most money on these nights.
    #[must_use]
    pub fn most_at_risk(&self, coldest: &Coldest) -> Option<Stake> {
        let loss = |s: &Stake| {
            let of = if s.in_soil { &coldest.soil } else { &coldest.tissue };
            s.worth.max(1.0) * of.iter().map(|t| share_lost(&s.limits, *t)).sum::<f64>()
        };
        self.stakes.iter().copied().max_by(|a, b| loss(a).total_cmp(&loss(b)))
    }
}

/// One block of sixteen members on its way through the night.
#[derive(Default)]
struct Block {
    tissue: HalfHour<Lanes>,
    air: HalfHour<Lanes>,
    soil: HalfHour<Lanes>,
    course: Vec<f64>,
    half_hours: Vec<Lanes>,
    residual: f64,
}

fn gather(blocks: &[Block]) -> Coldest {
    let all = |get: &dyn Fn(&Block) -> Lanes| -> Vec<f64> {
        blocks.iter().flat_map(|b| (0..WIDTH).map(|m| get(b).lane(m)).collect::<Vec<_>>()).collect()
    };
    let steps = blocks.first().map_or(0, |b| b.course.len());
    let n = blocks.len().max(1) as f64;
    let half_hours = blocks.first().map_or(0, |b| b.half_hours.len());
    Coldest {
        tissue: all(&|b| b.tissue.coldest),
        air: all(&|b| b.air.coldest),
        soil: all(&|b| b.soil.coldest),
        course: (0..steps).map(|k| blocks.iter().map(|b| b.course[k]).sum::<f64>() / n).collect(),
        half_hours: (0..half_hours)
            .map(|h| all(&|b| b.half_hours[h]).into_iter().map(|t| t as f32).collect())
            .collect(),
        residual: blocks.iter().map(|b| b.residual).fold(0.0, f64::max),
    }
}

fn mean(x: Lanes) -> f64 {
    (0..WIDTH).map(|m| x.lane(m)).sum::<f64>() / WIDTH as f64
}

/// The 10, 50 and 90 % points of a sample, linear between its sorted values.
#[must_use]
pub fn spread(sample: &[f64]) -> Spread {
    let mut x = sample.to_vec();
    x.sort_by(f64::total_cmp);
    let at = |p: f64| {
        let h = p * x.len().saturating_sub(1) as f64;
        let (i, share) = (h.floor() as usize, h.fract());
        let a = x.get(i).copied().unwrap_or(f64::NAN);
        a + (x.get(i + 1).copied().unwrap_or(a) - a) * share
    };
    Spread { p10: at(0.1), p50: at(0.5), p90: at(0.9) }
}

/// The spread of every half-hour of a night that begins at `start`.
#[must_use]
pub fn course(start: Moment, half_hours: &[Vec<f32>]) -> Course {
    let spread_of = |h: &Vec<f32>| spread(&h.iter().map(|t| f64::from(*t)).collect::<Vec<_>>());
    Course { start, half_hours: half_hours.iter().map(spread_of).collect() }
}

/// Hours in a number of steps.
#[must_use]
pub fn hours(steps: usize) -> f64 {
    steps as f64 * STEP_S / 3600.0
}
